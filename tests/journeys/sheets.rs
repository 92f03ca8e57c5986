//! Point 7: the bench sheet of the present batch, in each kind.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use quern_studio::app::files::Answer;
use quern_tests::{Open, window};

use crate::{keys, press, said};

#[test]
fn each_kind_of_sheet_is_written_where_asked() {
    let folder = tempfile::tempdir().unwrap();
    for (button, ending, start) in [
        ("PDF...", "pdf", &b"%PDF-"[..]),
        ("HTML...", "html", b"<!"),
        ("CSV...", "csv", b""),
        ("Markdown...", "md", b"#"),
    ] {
        let path = folder.path().join(format!("sheet.{ending}"));
        let mut h = window(Open { answers: vec![Answer::Path(path.clone())], ..Open::default() });
        keys(&mut h, Modifiers::COMMAND, Key::P);
        press(&mut h, button);
        h.run_steps(3);
        let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{ending}: {e}; {}", said(&h)));
        assert!(bytes.starts_with(start), "{ending}");
        if ending != "pdf" {
            let text = String::from_utf8(bytes).unwrap();
            for word in ["Dune", "Kaolin", "DU-2611-01", "100.00"] {
                assert!(text.contains(word), "{ending} lacks {word}");
            }
        }
        assert!(said(&h).contains("Bench sheet written"), "{}", said(&h));
    }
}

#[test]
fn a_sheet_path_can_be_typed_and_an_unknown_ending_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = window(Open { answers: vec![Answer::NoWindow], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::P);
    press(&mut h, "CSV...");
    let field = "Path of the bench sheet";
    let put = |h: &mut egui_kittest::Harness<'_, quern_studio::app::App>, text: &str| {
        h.get_by_label(field).focus();
        h.run_steps(2);
        h.key_press_modifiers(Modifiers::COMMAND, Key::A);
        h.run_steps(1);
        h.get_by_label(field).type_text(text);
        h.run_steps(2);
    };
    let bad = folder.path().join("sheet.doc");
    put(&mut h, &bad.display().to_string());
    press(&mut h, "Write");
    assert!(said(&h).contains(".pdf"), "{}", said(&h));
    assert!(!bad.exists());
}

#[test]
fn a_spreadsheet_answers_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.xlsx");
    let mut h = window(Open { answers: vec![Answer::Path(path.clone())], ..Open::default() });
    keys(&mut h, Modifiers::COMMAND, Key::P);
    press(&mut h, "CSV...");
    h.run_steps(3);
    assert!(!path.exists());
    assert!(said(&h).contains("not built yet"), "{}", said(&h));
}
