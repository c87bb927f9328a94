//! `lampwise read`: the job.

use std::path::{Path, PathBuf};

use crate::advice::{Advice, Facts, advise, advise_without_table};
use crate::report::{Findings, html, json, text};
use crate::words::Words;

use super::Status;
use super::arguments::{self, Footage};
use super::output::{print, print_json, style, write_whole};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    #[command(flatten)]
    footage: Footage,
    /// What the device's lights mean; without it only what was seen is told
    #[arg(long, short, value_name = "TABLE")]
    table: Option<PathBuf>,
    /// Print one JSON object in place of text
    #[arg(long)]
    json: bool,
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
    let table = args.table.as_deref().map(arguments::table).transpose()?;
    if let Some(table) = &table {
        arguments::known_names(table, &args.tried, &args.site)?;
    }
    let findings = args.footage.read(table.as_ref(), args.threshold)?;
    let facts = Facts {
        lasted_s: args.lasted,
        powered_s: args.powered_for,
        site: args.site.clone(),
        tried: args.tried.clone(),
        seen: findings.seen(),
    };
    let advice = match &findings.judged {
        Some(judged) => advise(judged.table, &judged.reading, &facts),
        None => advise_without_table(&facts),
    };
    if let Some(path) = &args.html {
        args.write_page(path, &findings, &advice)?;
    }
    if args.json {
        print_json(&json(&findings, &advice))?;
    } else {
        print(&text(&findings, &advice, &style()))?;
    }
    Ok(Status::from(&findings))
}

impl Args {
    fn write_page(&self, path: &Path, findings: &Findings, advice: &Advice) -> anyhow::Result<()> {
        let shots = if self.no_pictures {
            Vec::new()
        } else {
            self.footage.shots(findings, self.threshold)?
        };
        let page = html(findings, advice, &shots, &self.footage.name(), &Words::default());
        write_whole(path, page.as_bytes())
    }
}
