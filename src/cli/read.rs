//! `lampwise read`: the job.

use std::path::{Path, PathBuf};

use crate::advice::{Advice, Facts, advise, advise_without_table};
use crate::case::Told;
use crate::report::{Findings, Judged, html, json, text};

use super::Status;
use super::arguments;
use super::case::OpenCase;
use super::footage::ClipOrPhotos;
use super::output::{print, print_json, spare, style, write_whole};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    footage: ClipOrPhotos,
    /// Light table, the TOML file that says what the device's lights mean; without it only what was seen is told
    #[arg(long, short, value_name = "TABLE")]
    table: Option<PathBuf>,
    /// Print one JSON object in place of text
    #[arg(long)]
    json: bool,
    /// Keep what is known of this device in a file over several clips; begun if there is none yet
    #[arg(long, value_name = "FILE", requires = "table")]
    case: Option<PathBuf>,
    /// Also write the report as one page that opens in any browser
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Leave the pictures of the light out of the page
    #[arg(long, requires = "html")]
    no_pictures: bool,
    /// Probability from which a meaning is decided on
    #[arg(long, value_name = "P", default_value = "0.9", value_parser = arguments::threshold)]
    threshold: f64,
    /// How long the light has been so, such as "6 min"
    #[arg(long, value_name = "DURATION", value_parser = arguments::duration)]
    lasted: Option<f64>,
    /// For how long the device has had power, such as "12 min"
    #[arg(long, value_name = "DURATION", value_parser = arguments::duration)]
    powered_for: Option<f64>,
    /// What is so at the site and what is not, by the table's names for it, such as "network-power,injector=no"
    #[arg(long, value_name = "NAME[=no],...", value_delimiter = ',', value_parser = arguments::condition)]
    site: Vec<(String, bool)>,
    /// What was tried already, by the table's names for it
    #[arg(long, value_name = "NAME,...", value_delimiter = ',')]
    tried: Vec<String>,
}

pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    let inputs = args.footage.paths().iter().chain(&args.table).chain(&args.case);
    spare([&args.html], inputs.map(PathBuf::as_path))?;
    let table = args.table.as_deref().map(arguments::table).transpose()?;
    let mut case = None;
    if let Some(table) = &table {
        arguments::known_names(table, &args.tried, &args.site, args.footage.language())?;
        if let Some(path) = &args.case {
            case = Some(OpenCase::open(path, table, args.footage.paths())?);
        }
    }
    let told = args.told();
    let known = case
        .as_mut()
        .map_or_else(|| told.clone(), |case| case.known(told.clone()));
    let mut findings = args.footage.read(table.as_ref(), args.threshold)?;
    findings.earlier = case.as_ref().map(OpenCase::earlier).unwrap_or_default();
    let row = findings.judged.as_ref().and_then(Judged::decided);
    let shown_for_s = case.as_ref().and_then(|case| case.shown_for_s(&row?.id));
    let facts = Facts {
        lasted_s: known.lasted_s.or(shown_for_s),
        powered_s: known.powered_s,
        site: known.site,
        tried: known.tried,
        seen: findings.seen(),
        language: args.footage.language(),
    };
    let advice = match &findings.judged {
        Some(judged) => advise(judged.table, &judged.reading, &facts),
        None => advise_without_table(&facts),
    };
    // First, so that a page or a case file that cannot be written takes no reading away.
    if args.json {
        print_json(&json(&findings, &advice))?;
    } else {
        print(&text(&findings, &advice, &style()))?;
    }
    if let Some(path) = &args.html {
        args.write_page(path, &findings, &advice)?;
    }
    if let Some(case) = case {
        case.close(&findings, &advice, facts.lasted_s, args.footage.name())?;
    }
    Ok(Status::from(&findings))
}

impl Args {
    fn told(&self) -> Told {
        Told {
            lasted_s: self.lasted,
            powered_s: self.powered_for,
            site: self.site.clone(),
            tried: self.tried.clone(),
        }
    }

    fn write_page(&self, path: &Path, findings: &Findings, advice: &Advice) -> anyhow::Result<()> {
        let shots = if self.no_pictures {
            Vec::new()
        } else {
            self.footage.shots(findings, self.threshold)?
        };
        let page = html(findings, advice, &shots, &self.footage.name());
        write_whole(path, page.as_bytes())
    }
}
