//! Where one is in the guide.

/// The page shown, how one came there, and what is looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GuideState {
    /// Key of the page.
    pub page: String,
    /// Pages before it, the last one last.
    pub back: Vec<String>,
    /// What is looked for.
    pub query: String,
    /// The page starts at its top, or at what was found, in the next frame.
    pub to_top: bool,
}

impl Default for GuideState {
    fn default() -> Self {
        Self::at("start")
    }
}

impl GuideState {
    /// At a page.
    #[must_use]
    pub fn at(page: &str) -> Self {
        Self { page: page.to_owned(), back: Vec::new(), query: String::new(), to_top: true }
    }

    /// Goes to a page, from which one can go back.
    pub fn go(&mut self, page: &str) {
        if self.page != page {
            let from = std::mem::replace(&mut self.page, page.to_owned());
            self.back.push(from);
        }
        self.to_top = true;
    }

    /// Goes back; false when there is nowhere to.
    pub fn go_back(&mut self) -> bool {
        let Some(page) = self.back.pop() else { return false };
        self.page = page;
        self.to_top = true;
        true
    }
}
