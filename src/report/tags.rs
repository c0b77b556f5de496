//! Tags to print, cut out and tie to loops: whose it is, what chain, what it is set to, when it is due.

mod data;
mod html;
mod text;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::advice::say::visit::promise;
use crate::chain::{Profile, Rule, Stage};
use crate::record::{Shelf, Standing};
use crate::report::data::Number;
use crate::report::format::capital;
use crate::report::status::StatusPart;
use crate::report::words::{count, day, length};
use crate::round::Tool;
use crate::units::Unit;
use crate::units::clean::clean;

/// One line of a tag.
struct Said {
    text: String,
    /// The loop must not go back on a saw.
    stop: bool,
}

impl From<String> for Said {
    fn from(text: String) -> Self {
        Self { text, stop: false }
    }
}

impl Said {
    fn stop(text: &str) -> Self {
        Self { text: text.to_owned(), stop: true }
    }
}

/// One tag.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tag {
    #[serde(rename = "loop")]
    slug: String,
    name: String,
    owner: Option<String>,
    saw: Option<String>,
    /// Name of the chain type, as people say it.
    chain: String,
    profile: String,
    links: u16,
    /// `None` where links and order do not fit.
    cutters: Option<u16>,
    state: Standing,
    /// Median length as the latest round that tells lengths left the cutters.
    length_mm: Option<Number>,
    /// Length that the last round was filed to.
    target_mm: Option<Number>,
    /// Round file for the present length.
    file_mm: Option<Number>,
    /// Rule that the rakers were last set by.
    rule: Option<Rule>,
    /// Where none was chosen: the rule that most of the gaps fit.
    fits: Option<Rule>,
    /// Raker gap by that rule at the present length.
    gap_mm: Option<Number>,
    /// What the gap is bound to: `, unfrozen softwood only`, or nothing.
    #[serde(skip)]
    only: &'static str,
    stage: Option<Stage>,
    last: Option<String>,
    /// Tool of that round: a ground loop asks for no round file.
    #[serde(skip)]
    tool: Option<Tool>,
    sharpener: Option<String>,
    /// How it stands after its newest round; absent before the first.
    status: Option<StatusPart>,
    /// Of the invented workshop: the tag says so.
    #[serde(skip)]
    demo: bool,
    /// When the next round is due if rounds go on coming as they did.
    next: Option<String>,
    /// Day that it is promised for, while it waits.
    promised: Option<NaiveDate>,
    /// That day is past as the tag is printed.
    overdue: bool,
    brought: Option<NaiveDate>,
    brought_by: Option<String>,
    /// The promise in a few words.
    #[serde(skip)]
    promise: Option<String>,
}

/// Tags, in the order in which they are printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tags {
    #[serde(rename = "tags")]
    all: Vec<Tag>,
    /// Files that they had to do without, each in a sentence.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_read: Vec<String>,
    #[serde(skip)]
    printed: DateTime<FixedOffset>,
}

impl Tags {
    /// These tags, printed at that time.
    pub const fn new(tags: Vec<Tag>, printed: DateTime<FixedOffset>) -> Self {
        Self { all: tags, not_read: Vec::new(), printed }
    }

    /// The same, of the invented workshop or not: each tag says so in its first line.
    #[must_use]
    pub fn with_demo(mut self, demo: bool) -> Self {
        for tag in &mut self.all {
            tag.demo = demo;
        }
        self
    }

    /// The same, without these files, each in a sentence.
    #[must_use]
    pub fn without(mut self, not_read: Vec<String>) -> Self {
        self.not_read = not_read;
        self
    }

    /// Files that they had to do without, each in a sentence.
    pub fn not_read(&self) -> &[String] {
        &self.not_read
    }

    /// How many there are.
    pub const fn len(&self) -> usize {
        self.all.len()
    }

    /// How many there are, in words.
    pub fn count(&self) -> String {
        count(self.len(), "tag")
    }

    /// True without any.
    pub const fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}

impl Tag {
    /// The tag of a loop, printed today.
    pub fn of(shelf: &Shelf, profile: Option<&Profile>, today: NaiveDate) -> Self {
        let card = &shelf.card;
        let said = |text: &str| Some(clean(text)).filter(|text| !text.is_empty());
        let spec = profile.map(|profile| shelf.spec(profile));
        let place = profile.and_then(|profile| shelf.place(profile));
        let now = spec.as_ref().zip(shelf.lengths.map(|lengths| lengths.median));
        let (last, standing) = (shelf.last.as_ref(), shelf.standing());
        let visit = &card.visit;
        let waits = visit.waits_for().filter(|_| standing != Standing::Scrapped);
        let rule = last.and_then(|last| last.rule);
        let fits = shelf.fits.filter(|_| rule.is_none());
        let gap = now
            .zip(rule.or(fits))
            .and_then(|((spec, length), rule)| spec.target_gap(rule, shelf.wood, spec.wear(length)));
        Self {
            slug: card.tag.clone(),
            name: clean(&card.name),
            owner: said(&card.owner),
            saw: said(&card.saw),
            chain: profile.map_or_else(|| clean(&card.profile), |profile| clean(&profile.title)),
            profile: clean(&card.profile),
            links: card.links,
            cutters: card.layout().ok().map(|layout| layout.count()),
            state: standing,
            length_mm: shelf.lengths.map(|lengths| Number::from(lengths.median)),
            target_mm: last.and_then(|last| last.target).map(Number::from),
            file_mm: now.and_then(|(spec, length)| spec.file_for(length)).map(|step| Number(step.diameter.get())),
            rule,
            fits,
            gap_mm: gap.map(|gap| Number(gap.get())),
            only: if rule == Some(Rule::Setting) { "" } else { shelf.wood.only() },
            stage: place.map(|place| place.stage),
            last: last.map(|last| last.ended.to_rfc3339()),
            tool: last.map(|last| last.tool),
            status: shelf.status.as_ref().map(StatusPart::from),
            demo: false,
            sharpener: last.and_then(|last| said(&last.sharpener)),
            promised: waits,
            overdue: waits.is_some_and(|day| day < today),
            brought: visit.brought,
            brought_by: said(&visit.brought_by),
            promise: waits.and_then(|_| promise(visit, today)),
            next: shelf.next.filter(|_| standing == Standing::Ready).map(|next| next.to_rfc3339()),
        }
    }

    /// What stands on the tag under its name, line by line.
    fn lines(&self, unit: Unit) -> Vec<Said> {
        let whose = self.owner.clone().unwrap_or_else(|| "owner not named".to_owned());
        let cutters = self.cutters.map(|n| format!(", {}", count(usize::from(n), "cutter"))).unwrap_or_default();
        let mut lines: Vec<Said> = Vec::new();
        lines.extend(self.demo.then(|| Said::stop("DEMO: no real loop")));
        if self.state == Standing::Scrapped {
            lines.push(Said::stop("OUT OF CARE"));
        } else {
            // How it stands comes first: a tag is cut where it is full.
            lines.extend(self.status.iter().map(|status| Said { text: capital(&status.line), stop: status.is_stop() }));
        }
        // The day counts at the counter as much as at the bench.
        lines.extend(self.promise.as_ref().map(|promise| Said { text: promise.clone(), stop: self.overdue }));
        lines.push(whose.into());
        lines.extend(self.brought.map(|day| {
            let by = self.brought_by.as_ref().map(|by| format!(" by {by}")).unwrap_or_default();
            Said::from(format!("brought {day}{by}"))
        }));
        lines.extend(self.saw.as_ref().map(|saw| format!("saw: {saw}").into()));
        lines.push(format!("{}, {} links{cutters}", self.chain, self.links).into());
        // What is next to be done to it is not said of a loop that nobody may use; the mark that retires it is.
        let stopped = self.status.as_ref().is_some_and(StatusPart::is_stop);
        lines.extend(self.work(unit).filter(|_| !stopped).map(Said::from));
        lines.extend(self.rakers(unit).filter(|said| !stopped || said.stop));
        let last = self.last.as_deref().map_or_else(|| "no round yet".to_owned(), |last| format!("last {}", day(last)));
        lines.push(last.into());
        lines.extend(self.next.as_deref().map(|next| format!("next about {}", day(next)).into()));
        lines.extend((self.state == Standing::Open).then(|| Said::from("at the bench: round not finished".to_owned())));
        lines
    }

    fn work(&self, unit: Unit) -> Option<String> {
        let done = self.tool.map_or("filed", Tool::done);
        let filed = self.target_mm.map(|mm| format!("{done} to {}", length(unit, mm)));
        let filed = filed.or_else(|| self.length_mm.map(|mm| format!("cutters {}", length(unit, mm))));
        let file = self
            .file_mm
            .filter(|_| self.tool != Some(Tool::Grinder))
            .map(|Number(mm)| format!("round file {}", unit.file_size(crate::units::mm(mm))));
        let parts: Vec<String> = filed.into_iter().chain(file).collect();
        (!parts.is_empty()).then(|| parts.join(", "))
    }

    fn rakers(&self, unit: Unit) -> Option<Said> {
        let stage = match self.stage? {
            Stage::Retire => return Some(Said::stop("at the witness mark: RETIRE")),
            Stage::Due => ", scaled gap due",
            Stage::Worth => ", scaled gap worth it",
            Stage::Fixed => "",
        };
        let rule = match (self.rule, self.fits) {
            (Some(rule), _) => rule.word().to_owned(),
            (None, Some(fits)) => format!("no rule chosen, they fit the {}", fits.word()),
            (None, None) => "no rule chosen".to_owned(),
        };
        let gap = self.gap_mm.map(|mm| format!(" {}{}", length(unit, mm), self.only)).unwrap_or_default();
        Some(format!("rakers: {rule}{gap}{stage}").into())
    }
}
