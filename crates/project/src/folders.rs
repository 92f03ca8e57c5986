//! Where settings, own rules, the log and panic reports live.
//!
//! `QUERN_CONFIG_DIR`, `QUERN_DATA_DIR` and `QUERN_STATE_DIR` override the user's folders, for
//! tests and for a program that is carried on a stick.

use std::ffi::OsString;
use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

use etcetera::BaseStrategy as _;

/// Panic reports of one second that get a name of their own.
const MOST_IN_A_SECOND: u32 = 100;

fn from_environment(name: &str) -> Option<PathBuf> {
    std::env::var_os(name).filter(|v: &OsString| !v.is_empty()).map(PathBuf::from)
}

/// The folder of the settings; `None` when the user has no home folder. It need not exist yet.
#[must_use]
pub fn config() -> Option<PathBuf> {
    from_environment("QUERN_CONFIG_DIR")
        .or_else(|| Some(etcetera::choose_base_strategy().ok()?.config_dir().join("quern")))
}

/// The folder of the user's own data; `None` when the user has no home folder. It need not exist
/// yet.
#[must_use]
pub fn data() -> Option<PathBuf> {
    from_environment("QUERN_DATA_DIR")
        .or_else(|| Some(etcetera::choose_base_strategy().ok()?.data_dir().join("quern")))
}

/// The folder of the user's own rules, `rules` in [`data`]; see
/// [`load_user_rules`](crate::rules::load_user_rules). It need not exist.
#[must_use]
pub fn rules_folder() -> Option<PathBuf> {
    Some(data()?.join("rules"))
}

/// The folder of the log and the panic reports; `None` when the user has no home folder. It need
/// not exist yet.
#[must_use]
pub fn state() -> Option<PathBuf> {
    from_environment("QUERN_STATE_DIR").or_else(|| {
        let base = etcetera::choose_base_strategy().ok()?;
        // Not every system has a folder for state.
        Some(base.state_dir().unwrap_or_else(|| base.data_dir()).join("quern"))
    })
}

/// The log file, `quern.log`; `None` as for [`state`].
#[must_use]
pub fn log_file() -> Option<PathBuf> {
    Some(state()?.join("quern.log"))
}

/// Writes a panic report to `panic-YYYYMMDD-HHMMSS.txt` in the state folder, by the clock in UTC.
/// A second report of the same second gets `-2` after it.
///
/// # Errors
/// When there is no state folder, or it cannot be written.
pub fn write_panic_report(text: &str) -> io::Result<PathBuf> {
    let folder = state().ok_or_else(|| {
        io::Error::new(io::ErrorKind::NotFound, "the user has no folder for reports")
    })?;
    fs::create_dir_all(&folder)?;
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs());
    let stamp = stamp(seconds);
    let mut n = 1_u32;
    loop {
        let name =
            if n == 1 { format!("panic-{stamp}.txt") } else { format!("panic-{stamp}-{n}.txt") };
        let path = folder.join(name);
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(mut file) => {
                file.write_all(text.as_bytes())?;
                file.sync_all()?;
                return Ok(path);
            }
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && n < MOST_IN_A_SECOND => n += 1,
            Err(e) => return Err(e),
        }
    }
}

/// `YYYYMMDD-HHMMSS` in UTC of seconds since 1970.
fn stamp(seconds: u64) -> String {
    let (day, second) = (seconds / 86_400, seconds % 86_400);
    // Days to a date, counted from 1 March of year 0, so that the leap day ends a year.
    let shifted = day + 719_468;
    let (era, day_of_era) = (shifted / 146_097, shifted % 146_097);
    let year_of_era =
        (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted_month = (5 * day_of_year + 2) / 153;
    let day_of_month = day_of_year - (153 * shifted_month + 2) / 5 + 1;
    let month = if shifted_month < 10 { shifted_month + 3 } else { shifted_month - 9 };
    let year = year_of_era + era * 400 + u64::from(month <= 2);
    let (hour, minute) = (second / 3_600, second / 60 % 60);
    format!("{year:04}{month:02}{day_of_month:02}-{hour:02}{minute:02}{:02}", second % 60)
}

#[cfg(test)]
mod tests {
    use super::stamp;

    #[test]
    fn stamps() {
        assert_eq!(stamp(0), "19700101-000000");
        assert_eq!(stamp(951_782_399), "20000228-235959");
        assert_eq!(stamp(951_782_400), "20000229-000000");
        assert_eq!(stamp(1_795_606_445), "20261125-113405");
    }
}
