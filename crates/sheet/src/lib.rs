//! Quern's printed documents, as bytes. Nothing here touches a disk.
//!
//! A document is prepared once, as text and figures ready to be set
//! ([`BenchSheet::new`], [`BlendSheet::new`], [`SettingSheet::new`], [`LabelSheet::new`]); the
//! exporters only lay it out. So a figure reads alike in every format, and a new format has
//! nothing to compute.
//!
//! ```text
//! Formula + Evaluation + Library + BatchPlan + About -> BenchSheet -> PDF | HTML | CSV | Markdown
//! BlendSide + BlendRow + Spread + Rules + About      -> BlendSheet -> PDF | HTML
//! SettingSide + SettingNotes + About                 -> SettingSheet -> PDF | HTML
//! Formula + Label + findings + About                 -> LabelSheet -> PDF | HTML
//! ```
//!
//! Names, notes and steps are a user's own text. They reach a PDF template as values
//! and never as template source, and each other exporter escapes them for its format.

mod bench;
mod blend;
mod csv;
mod figure;
mod html;
mod label;
mod markdown;
#[cfg(feature = "pdf")]
mod pdf;
mod setting;
mod text;
#[cfg(feature = "pdf")]
mod typeset;

#[cfg(test)]
mod tests;

pub use bench::{About, BenchSheet, Paper};
#[cfg(feature = "pdf")]
pub use blend::blend_pdf;
pub use blend::{BLENDS_MOST, BlendSheet, blend_html};
pub use csv::csv;
pub use html::html;
#[cfg(feature = "pdf")]
pub use label::label_pdf;
pub use label::{LabelSheet, label_html};
pub use markdown::markdown;
#[cfg(feature = "pdf")]
pub use pdf::pdf;
#[cfg(feature = "pdf")]
pub use setting::setting_pdf;
pub use setting::{SETTINGS_MOST, SettingSheet, SettingSide, setting_html};

/// Why a document could not be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// The format is planned and does not exist yet; the text says what to use instead.
    #[error("{0}")]
    NotBuilt(&'static str),
    /// The page could not be laid out.
    #[error("The page could not be laid out: {0}")]
    Layout(String),
    /// The table could not be written.
    #[error("The table could not be written: {0}")]
    Table(String),
}

/// A format that a sheet can leave in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Format {
    /// Portable Document Format, for printing.
    Pdf,
    /// One self-contained web page.
    Html,
    /// Comma-separated values.
    Csv,
    /// Markdown text with a table.
    Markdown,
    /// Spreadsheet workbook; not built yet.
    Xlsx,
}

impl Format {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Pdf, Self::Html, Self::Csv, Self::Markdown, Self::Xlsx];

    /// The format of files with this extension, without its dot; case does not matter.
    #[must_use]
    pub fn from_extension(extension: &str) -> Option<Self> {
        match extension.to_ascii_lowercase().as_str() {
            "pdf" => Some(Self::Pdf),
            "html" | "htm" => Some(Self::Html),
            "csv" => Some(Self::Csv),
            "md" | "markdown" => Some(Self::Markdown),
            "xlsx" => Some(Self::Xlsx),
            _ => None,
        }
    }

    /// The usual extension, without its dot.
    #[must_use]
    pub fn extension(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Html => "html",
            Self::Csv => "csv",
            Self::Markdown => "md",
            Self::Xlsx => "xlsx",
        }
    }

    /// The name on screen.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pdf => "PDF",
            Self::Html => "HTML",
            Self::Csv => "CSV",
            Self::Markdown => "Markdown",
            Self::Xlsx => "XLSX",
        }
    }

    /// True when [`export`] can make it in this build.
    #[must_use]
    pub fn is_built(self) -> bool {
        match self {
            Self::Pdf => cfg!(feature = "pdf"),
            Self::Html | Self::Csv | Self::Markdown => true,
            Self::Xlsx => false,
        }
    }
}

/// The sheet in a format.
///
/// # Errors
/// [`SheetError::NotBuilt`] for a format that this build lacks; the other kinds only if a
/// writer fails, which no content should bring about.
pub fn export(sheet: &BenchSheet, format: Format) -> Result<Vec<u8>, SheetError> {
    match format {
        #[cfg(feature = "pdf")]
        Format::Pdf => pdf(sheet),
        #[cfg(not(feature = "pdf"))]
        Format::Pdf => {
            Err(SheetError::NotBuilt("This build cannot make PDF; use HTML, CSV or Markdown"))
        }
        Format::Html => Ok(html(sheet).into_bytes()),
        Format::Csv => csv(sheet),
        Format::Markdown => Ok(markdown(sheet).into_bytes()),
        Format::Xlsx => Err(SheetError::NotBuilt(
            "XLSX export is not built yet; use PDF, HTML, CSV or Markdown",
        )),
    }
}
