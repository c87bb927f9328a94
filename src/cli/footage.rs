//! The footage that a command is given, and how to look at it.

use std::path::{Path, PathBuf};

use crate::footage::png;
use crate::pipeline::{Options, read, read_photos, shots, still};
use crate::report::{Findings, PICTURE_WIDTH, Shot, moments, picture, picture_frame};
use crate::table::LightTable;
use crate::words::Language;

use super::arguments::{self, Speak};
use super::complaint::openable;
use super::{Complaint, Misuse};

/// How to look at footage.
#[derive(Debug, clap::Args)]
struct Looking {
    /// Where the lamp is in the first picture, in pixels from its upper left corner
    #[arg(long, value_name = "X,Y", value_parser = arguments::point)]
    at: Option<(f64, f64)>,
    /// How many times slower than life the clip plays (slow motion), 1 or more
    #[arg(long, value_name = "N", default_value = "1", value_parser = arguments::slowness)]
    slowed_by: f64,
}

/// One clip or photo.
#[derive(Debug, clap::Args)]
pub(super) struct Footage {
    /// A clip or a photo
    #[arg(value_name = "FOOTAGE")]
    path: PathBuf,
    #[command(flatten)]
    looking: Looking,
    #[command(flatten)]
    speak: Speak,
}

/// A clip, a photo, or several photos of one device.
#[derive(Debug, clap::Args)]
pub(super) struct ClipOrPhotos {
    /// A clip or a photo; or several photos of one device in one state
    #[arg(value_name = "FOOTAGE", required = true)]
    paths: Vec<PathBuf>,
    #[command(flatten)]
    looking: Looking,
    #[command(flatten)]
    speak: Speak,
}

impl Looking {
    const fn options(&self, threshold: f64, language: Language) -> Options {
        Options {
            at: self.at,
            threshold,
            slowed_by: self.slowed_by,
            threads: None,
            language,
        }
    }

    /// Refuses a place that is not in the picture.
    fn points_into(&self, findings: &Findings) -> Result<(), Complaint> {
        let (width, height) = (findings.footage.width, findings.footage.height);
        match self.at {
            Some((x, y)) if !(0.0..width as f64).contains(&x) || !(0.0..height as f64).contains(&y) => {
                Err(Misuse::OutsidePicture {
                    at: (x, y),
                    size: (width, height),
                }
                .into())
            }
            _ => Ok(()),
        }
    }
}

impl Footage {
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Reads the footage without a table.
    pub(super) fn read(&self, threshold: f64) -> Result<Findings<'static>, Complaint> {
        openable(&self.path)?;
        let options = self.looking.options(threshold, self.speak.language());
        let findings = read(&self.path, None, &options)?;
        self.looking.points_into(&findings)?;
        Ok(findings)
    }

    /// The lamps on a frame, with their traces, as a PNG.
    pub(super) fn picture(&self, findings: &Findings, threshold: f64) -> Result<Vec<u8>, Complaint> {
        let options = self.looking.options(threshold, self.speak.language());
        let frame = picture_frame(findings).unwrap_or(0);
        let still = still(&self.path, frame, PICTURE_WIDTH, &options)?;
        let still = still.ok_or_else(|| Complaint::Changed {
            path: self.path.clone(),
        })?;
        let (width, height, rgb) = picture(findings, frame, &still);
        Ok(png(width, height, &rgb))
    }
}

impl ClipOrPhotos {
    /// In which language to speak to people.
    pub(super) const fn language(&self) -> Language {
        self.speak.language()
    }

    pub(super) fn paths(&self) -> &[PathBuf] {
        &self.paths
    }

    /// Reads the footage; with a table, under it.
    pub(super) fn read<'t>(
        &self,
        table: Option<&'t LightTable>,
        threshold: f64,
    ) -> Result<Findings<'t>, Complaint> {
        self.paths.iter().try_for_each(|path| openable(path))?;
        let options = self.looking.options(threshold, self.language());
        if let [path] = self.paths.as_slice() {
            let findings = read(path, table, &options)?;
            self.looking.points_into(&findings)?;
            return Ok(findings);
        }
        if self.looking.at.is_some() {
            return Err(Misuse::PlaceInSeveral.into());
        }
        Ok(read_photos(&self.paths, table, &options)?)
    }

    /// Pictures of the lamps at the moments that decided the reading; of several photos, in the plainest.
    pub(super) fn shots(&self, findings: &Findings, threshold: f64) -> Result<Vec<Shot>, Complaint> {
        let plainest = findings
            .photos
            .iter()
            .position(|photo| photo.plainest)
            .unwrap_or(0);
        let options = self.looking.options(threshold, self.language());
        Ok(shots(
            &self.paths[plainest],
            findings,
            &moments(findings),
            &options,
        )?)
    }

    /// The names of the files, without the folders, which are nobody else's business.
    pub(super) fn name(&self) -> String {
        let name = |path: &PathBuf| name_of(path);
        self.paths.iter().map(name).collect::<Vec<_>>().join(", ")
    }
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}
