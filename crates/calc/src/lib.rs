//! All of Quern's arithmetic and judgement.
//!
//! The crate is pure: it has no files, clock, locale, threads, randomness,
//! environment or window. Date, prices, scales, rules and materials come in as
//! arguments; figures and findings go out. Amounts, percentages and money are
//! exact decimals; physics is `f64`.
//!
//! Start at [`evaluate::evaluate`]: one call turns a formula and a batch plan into
//! every figure that a screen, a sheet or the command line shows. It never fails
//! on a half-finished formula: a figure that cannot be had is an
//! [`evaluate::WhyNot`], and what should worry the maker is a
//! [`findings::Finding`].
//!
//! The folders are the questions that a maker asks:
//!
//! | module | question |
//! |---|---|
//! | [`formula`] | what is in it |
//! | [`batch`] | how much of each |
//! | [`grit`] | how rough is it |
//! | [`setting`] | does it melt and set |
//! | [`safety`] | may it be used, and how |
//! | [`chemistry`] | does it hold together |
//! | [`label`] | what does the pack say |
//! | [`findings`] | what should worry me |
//! | [`mod@evaluate`] | all of it |

pub mod batch;
pub mod chemistry;
pub mod evaluate;
pub mod findings;
pub mod formula;
pub mod grit;
pub mod label;
pub mod number;
pub mod quantity;
pub mod rules;
pub mod safety;
pub mod setting;
