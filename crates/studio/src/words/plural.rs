//! The rule by which a language chooses among plural forms: the expression in C of the
//! `Plural-Forms` line of a gettext file (manual of GNU gettext, "Plural forms"; from memory).

/// Deeper brackets are no rule of any language.
const DEEPEST: usize = 32;

/// The longest in use have some 200 letters.
const LONGEST: usize = 1000;

/// A rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Rule {
    /// How many forms there are.
    pub forms: usize,
    which: Node,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Node {
    N,
    Number(u64),
    Not(Box<Node>),
    Two(Op, Box<Node>, Box<Node>),
    Choose(Box<Node>, Box<Node>, Box<Node>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Op {
    Or,
    And,
    Equal,
    Other,
    AtMost,
    AtLeast,
    Less,
    More,
    Rest,
}

/// Loosest first; of two that begin alike, the longer first.
const LEVELS: [&[(&str, Op)]; 5] = [
    &[("||", Op::Or)],
    &[("&&", Op::And)],
    &[("==", Op::Equal), ("!=", Op::Other)],
    &[("<=", Op::AtMost), (">=", Op::AtLeast), ("<", Op::Less), (">", Op::More)],
    &[("%", Op::Rest)],
];

impl Default for Rule {
    /// As English: one, and all others.
    fn default() -> Self {
        Self { forms: 2, which: Node::Two(Op::Other, Box::new(Node::N), Box::new(Node::Number(1))) }
    }
}

impl Rule {
    /// Reads `nplurals=2; plural=(n != 1);`.
    pub(super) fn read(text: &str) -> Option<Self> {
        if text.len() > LONGEST {
            return None;
        }
        let mut forms = None;
        let mut which = None;
        for part in text.split(';').map(str::trim).filter(|p| !p.is_empty()) {
            let (name, value) = part.split_once('=')?;
            match name.trim() {
                "nplurals" => forms = value.trim().parse().ok().filter(|n| (1..=6).contains(n)),
                "plural" => {
                    let mut reader = Reader { rest: value };
                    which = Some(reader.choice(0)?).filter(|_| reader.rest.trim().is_empty());
                }
                _ => return None,
            }
        }
        Some(Self { forms: forms?, which: which? })
    }

    /// The form for a number, counted from 0.
    pub(super) fn form(&self, n: u64) -> usize {
        usize::try_from(self.which.value(n)).unwrap_or(usize::MAX).min(self.forms - 1)
    }
}

impl Node {
    fn value(&self, n: u64) -> u64 {
        match self {
            Self::N => n,
            Self::Number(x) => *x,
            Self::Not(a) => u64::from(a.value(n) == 0),
            Self::Choose(a, b, c) => {
                if a.value(n) != 0 {
                    b.value(n)
                } else {
                    c.value(n)
                }
            }
            Self::Two(op, a, b) => {
                let (a, b) = (a.value(n), b.value(n));
                match op {
                    Op::Or => u64::from(a != 0 || b != 0),
                    Op::And => u64::from(a != 0 && b != 0),
                    Op::Equal => u64::from(a == b),
                    Op::Other => u64::from(a != b),
                    Op::AtMost => u64::from(a <= b),
                    Op::AtLeast => u64::from(a >= b),
                    Op::Less => u64::from(a < b),
                    Op::More => u64::from(a > b),
                    Op::Rest => a.checked_rem(b).unwrap_or(0),
                }
            }
        }
    }
}

struct Reader<'a> {
    rest: &'a str,
}

impl Reader<'_> {
    fn eat(&mut self, word: &str) -> bool {
        match self.rest.trim_start().strip_prefix(word) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn choice(&mut self, depth: usize) -> Option<Node> {
        if depth > DEEPEST {
            return None;
        }
        let first = self.level(0, depth)?;
        if !self.eat("?") {
            return Some(first);
        }
        let yes = self.choice(depth + 1)?;
        if !self.eat(":") {
            return None;
        }
        let no = self.choice(depth + 1)?;
        Some(Node::Choose(Box::new(first), Box::new(yes), Box::new(no)))
    }

    fn level(&mut self, level: usize, depth: usize) -> Option<Node> {
        let Some(ops) = LEVELS.get(level) else { return self.atom(depth) };
        let mut left = self.level(level + 1, depth)?;
        while let Some((_, op)) = ops.iter().find(|(word, _)| self.eat(word)) {
            let right = self.level(level + 1, depth)?;
            left = Node::Two(*op, Box::new(left), Box::new(right));
        }
        Some(left)
    }

    fn atom(&mut self, depth: usize) -> Option<Node> {
        if depth > DEEPEST {
            return None;
        }
        if self.eat("!") {
            return Some(Node::Not(Box::new(self.atom(depth + 1)?)));
        }
        if self.eat("(") {
            let inner = self.choice(depth + 1)?;
            return self.eat(")").then_some(inner);
        }
        if self.eat("n") {
            return Some(Node::N);
        }
        let rest = self.rest.trim_start();
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let (digits, after) = rest.split_at(end);
        self.rest = after;
        digits.parse().ok().map(Node::Number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Forms of the first numbers.
    fn forms(rule: &str, numbers: &[u64]) -> Vec<usize> {
        let rule = Rule::read(rule).unwrap_or_else(|| panic!("{rule} is a rule"));
        numbers.iter().map(|n| rule.form(*n)).collect()
    }

    #[test]
    fn rules_of_real_languages_choose_as_their_grammars_do() {
        // From memory of the categories of the Unicode plural rules (CLDR): cardinal numbers.
        let n = [0, 1, 2, 3, 5, 11, 12, 21, 22, 25, 101, 111];
        assert_eq!(
            forms("nplurals=2; plural=(n != 1);", &n),
            [1, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1],
            "German"
        );
        assert_eq!(
            forms("nplurals=2; plural=n>1", &n),
            [0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1],
            "French"
        );
        assert_eq!(forms("nplurals=1; plural=0;", &n), [0; 12], "Japanese");
        assert_eq!(
            forms(
                "nplurals=3; plural=(n%10==1 && n%100!=11 ? 0 : n%10>=2 && n%10<=4 && \
                 (n%100<10 || n%100>=20) ? 1 : 2);",
                &n
            ),
            [2, 0, 1, 1, 2, 2, 2, 0, 1, 2, 0, 2],
            "Ukrainian"
        );
        assert_eq!(
            forms("nplurals=3; plural=(n==1) ? 0 : (n>=2 && n<=4) ? 1 : 2;", &n),
            [2, 0, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2],
            "Czech"
        );
    }

    #[test]
    fn the_default_is_english() {
        assert_eq!(Rule::read("nplurals=2; plural=n != 1;"), Some(Rule::default()));
    }

    #[test]
    fn what_is_no_rule_is_refused_and_never_breaks() {
        let deep = format!("nplurals=2; plural={}n{}", "(".repeat(400), ")".repeat(400));
        let nots = format!("nplurals=2; plural={}n", "!".repeat(900));
        let chain = format!("nplurals=2; plural={}0", "n?1:".repeat(200));
        let long = format!("nplurals=2; plural=n{}", "%n".repeat(5000));
        for text in [
            "",
            "nplurals=2",
            "plural=n",
            "nplurals=0; plural=0",
            "nplurals=9; plural=0",
            "nplurals=2; plural=",
            "nplurals=2; plural=n n",
            "nplurals=2; plural=(n",
            "nplurals=2; plural=n?1",
            "nplurals=2; plural=99999999999999999999999",
            "nplurals=2; plural=m",
            "nplurals=2; plural=n; also=3",
            deep.as_str(),
            nots.as_str(),
            chain.as_str(),
            long.as_str(),
        ] {
            assert_eq!(Rule::read(text), None, "{}", text.get(..60).unwrap_or(text));
        }
        assert_eq!(forms("nplurals=2; plural=n%0", &[5]), [0]);
        assert_eq!(forms("nplurals=2; plural=n", &[5, u64::MAX]), [1, 1]);
    }
}
