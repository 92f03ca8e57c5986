//! The ids of all rules, for lists of what is checked and for tests.

/// Ids of every rule that this program knows, in order of the alphabet.
#[must_use]
pub fn all_rules() -> &'static [&'static str] {
    &ALL
}

const ALL: [&str; 111] = [
    "acid-form-solubility",
    "active-ph",
    "alkali-assay-missing",
    "alkali-not-planned",
    "alkyl-sulfate-acid",
    "allergens-coming",
    "allergens-not-stated",
    "amount-blank",
    "amount-negative",
    "amount-zero",
    "antioxidant-only",
    "assay-missing",
    "batch-above-scale",
    "batch-above-vessel",
    "batch-plan",
    "blend-unopened",
    "carbomer-salt",
    "carbonate-with-acid",
    "cationic-polymer",
    "cationic-with-anionic",
    "cationic-with-gum",
    "cleanser-left-on",
    "cycle",
    "dust",
    "empty-formula",
    "ester-surfactant-ph",
    "fat-bloom",
    "fill-negative",
    "fill-nothing",
    "flash-point",
    "flash-point-unknown",
    "formula-missing",
    "fragrance-category",
    "fragrance-category-not-listed",
    "fragrance-certificate",
    "fragrance-in-water",
    "fragrance-no-certificate",
    "fragrance-total",
    "function-missing",
    "function-unknown",
    "glucoside-ph",
    "grain-data-bad",
    "grain-data-missing",
    "grain-size-assumed",
    "grains-dissolve",
    "grains-large",
    "grains-many",
    "grains-sharp",
    "grains-strong",
    "gum-not-wetted",
    "hard-salts",
    "heat-limit",
    "hlb-coverage",
    "hlb-emulsifiers",
    "hlb-off",
    "humectant-in-bar",
    "interaction-figures-missing",
    "iron-with-hydroxamic",
    "isethionate-in-cold-water",
    "label-stale",
    "law-clash",
    "law-condition",
    "law-limit",
    "law-not-allowed",
    "law-pending",
    "law-undecided",
    "line-above-scale",
    "market-unknown",
    "material-missing",
    "melts-above-phase",
    "nested-too-deep",
    "nitrosamine",
    "no-emulsifier",
    "no-scale",
    "oil-without-antioxidant",
    "oil-without-antioxidant-unchecked",
    "pack-challenge",
    "parcel-slumps",
    "ph-below-floor",
    "ph-missing",
    "ph-not-measured",
    "ph-unknown-for",
    "phase-temperature-missing",
    "pour-window-empty",
    "powder-binds",
    "powder-too-dry",
    "powder-too-dry-unchecked",
    "premix-total",
    "preservation-gap",
    "preservation-weak",
    "preservative-binding",
    "preservative-helpers-only",
    "preservative-idle",
    "preservative-low",
    "preservative-out-of-reach",
    "process-temperature",
    "salicylic-ph",
    "salt-curve",
    "shell-microbes",
    "solubility",
    "starch-in-hot-water",
    "surfactant-band",
    "too-small-to-weigh",
    "total",
    "unpreserved-argued",
    "use-above",
    "use-below",
    "water-without-preservative",
    "wet-powder-load",
    "wet-use-unpreserved",
    "zinc-with-fatty-acid",
];

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::string_slice)]
    use std::collections::BTreeSet;

    use super::all_rules;

    /// What stands in quotes in the functions that name a rule.
    fn named(source: &str) -> BTreeSet<String> {
        let mut out = BTreeSet::new();
        for head in ["fn id(&self) -> &'static str", "fn rule(&self) -> &'static str"] {
            for (at, _) in source.match_indices(head) {
                let body = &source[at..];
                let end = body.find("\n    }").unwrap();
                out.extend(body[..end].split('"').skip(1).step_by(2).map(str::to_owned));
            }
        }
        out
    }

    #[test]
    fn the_list_names_every_rule_and_no_other() {
        let sources = [
            include_str!("allergy.rs"),
            include_str!("hlb.rs"),
            include_str!("keeping.rs"),
            include_str!("law.rs"),
            include_str!("mixing.rs"),
            include_str!("mixing/charges.rs"),
            include_str!("mixing/making.rs"),
            include_str!("mixing/oils.rs"),
            include_str!("mixing/ph.rs"),
            include_str!("mixing/powders.rs"),
            include_str!("mixing/solubility.rs"),
            include_str!("mod.rs"),
            include_str!("pack.rs"),
            include_str!("scent.rs"),
        ];
        let told: BTreeSet<String> = sources.iter().flat_map(|s| named(s)).collect();
        let listed: BTreeSet<String> = all_rules().iter().map(|r| (*r).to_owned()).collect();
        assert_eq!(told, listed);
        assert_eq!(listed.len(), all_rules().len(), "one stands twice");
        assert!(all_rules().is_sorted());
        // A subject of its own is a variant of the problem; each has its file above.
        let subjects = include_str!("mod.rs").matches("(p) => p.id(),").count();
        let mixing = include_str!("mixing.rs").matches("(p) => ask(p),").count();
        assert_eq!((subjects, mixing), (7, SUBJECTS_OF_MIXING));
    }

    const SUBJECTS_OF_MIXING: usize = 6;
}
