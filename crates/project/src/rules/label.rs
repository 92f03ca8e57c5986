//! How a label of a market is made, in its file.

use quern_calc::formula::{Basis, Caution, Confidence, Function};
use quern_calc::safety::market::{LabelCaution, LabelRules, NetRule, Trigger};
use serde::Deserialize;

use super::parts::{Text, WhenText, figure, texts};
use crate::check::{Problems, quoted};
use crate::format::word::Word;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "label")]
pub(super) struct LabelText {
    heading: Word<Text>,
    one_percent_ordered: bool,
    nano: bool,
    net: Word<NetRule>,
    durability: bool,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
    #[serde(default)]
    particulars: Vec<Word<Text>>,
    #[serde(default)]
    cautions: Vec<CautionText>,
    #[serde(default)]
    names: Vec<(Word<Text>, Word<Text>)>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "caution")]
struct CautionText {
    key: Word<Text>,
    #[serde(default)]
    when: WhenText,
    trigger: TriggerText,
    text: Word<Text>,
    conf: Word<Confidence>,
    basis: Word<Basis>,
    src: Word<Text>,
}

#[derive(Debug, Deserialize)]
#[serde(rename = "trigger")]
enum TriggerText {
    Always,
    Function(Word<Function>),
    Caution(Word<Caution>),
    Components(Vec<Word<Text>>),
}

impl LabelText {
    pub(super) fn read(self, problems: &mut Problems) -> LabelRules {
        let mut cautions = Vec::with_capacity(self.cautions.len());
        for c in self.cautions {
            let key = c.key.0.0;
            let when = c.when.read(|| format!("the caution {}", quoted(&key)), problems);
            cautions.push(LabelCaution {
                key,
                when,
                trigger: match c.trigger {
                    TriggerText::Always => Trigger::Always,
                    TriggerText::Function(w) => Trigger::Function(w.0),
                    TriggerText::Caution(w) => Trigger::Caution(w.0),
                    TriggerText::Components(list) => Trigger::Components(texts(list)),
                },
                text: c.text.0.0,
                about: figure((), c.conf, c.basis, c.src),
            });
        }
        LabelRules {
            heading: self.heading.0.0,
            one_percent_ordered: self.one_percent_ordered,
            nano: self.nano,
            names: self.names.into_iter().map(|(inci, name)| (inci.0.0, name.0.0)).collect(),
            net: self.net.0,
            durability: self.durability,
            particulars: texts(self.particulars),
            cautions,
            about: figure((), self.conf, self.basis, self.src),
        }
    }
}
