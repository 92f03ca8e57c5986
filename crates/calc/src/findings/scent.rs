//! Rules of fragrance and essential oils.

use super::rule::{Rule, RuleKind};
use super::words::Say;
use super::{Severity, Words};

/// What such a rule found.
#[derive(Clone, Debug, PartialEq)]
pub enum ScentProblem {}

impl Rule for ScentProblem {
    fn id(&self) -> &'static str {
        match *self {}
    }
    fn severity(&self) -> Severity {
        match *self {}
    }
    fn kind(&self) -> RuleKind {
        match *self {}
    }
    fn words(&self, _say: &Say) -> Words {
        match *self {}
    }
}
