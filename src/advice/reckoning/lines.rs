//! Lines put down one after another.

use super::{Change, Line, Op, Operand, Reckoning, Source, Subject, Sure, Term, Value};
use crate::units::{Millimetres, deg, mm};

impl Operand {
    pub(super) const fn new(term: Term, value: Value, source: Source) -> Self {
        Self { term, value, source }
    }

    pub(super) const fn length(term: Term, value: Millimetres, source: Source) -> Self {
        Self::new(term, Value::Length(value), source)
    }
}

/// The lines of one reckoning.
#[derive(Default)]
pub(super) struct Lines(Vec<Line>);

impl Lines {
    /// A line whose result is a figure of the advice; the number that the next line works on.
    pub(super) fn figure(&mut self, term: Term, a: Operand, op: Op, b: Option<Operand>, result: Value) -> Operand {
        let next = Operand::new(term.clone(), result, Source::Line(self.0.len()));
        self.0.push(Line { term, op, a, b, result });
        next
    }

    /// A line on the way there, whose result is a length.
    pub(super) fn on(&mut self, term: Term, a: Operand, op: Op, b: Operand) -> Operand {
        let result = Value::Length(mm(op.of(a.value.get(), Some(b.value.get()))));
        self.figure(term, a, op, Some(b), result)
    }

    /// From one length to another that is known: so much more, or so much less.
    pub(super) fn to(
        &mut self,
        term: Term,
        a: Operand,
        (step, source): (Term, Source),
        result: Millimetres,
    ) -> Operand {
        let by = result.get() - a.value.get();
        let op = if by < 0.0 { Op::Less } else { Op::Plus };
        let step = Operand::length(step, mm(by.abs()), source);
        self.figure(term, a, op, Some(step), Value::Length(result))
    }

    /// How far apart two numbers of one kind are: the larger less the smaller.
    pub(super) fn apart(&mut self, term: Term, a: Operand, b: Operand) -> Operand {
        let (a, b) = if a.value.get() < b.value.get() { (b, a) } else { (a, b) };
        let by = a.value.get() - b.value.get();
        let result = match a.value {
            Value::Length(_) => Value::Length(mm(by)),
            Value::Angle(_) => Value::Angle(deg(by)),
            Value::Ratio(_) => Value::Ratio(by),
            Value::Count(_) => Value::Count(by),
            Value::Share(_) => Value::Share(by),
        };
        self.figure(term, a, Op::Less, Some(b), result)
    }

    pub(super) const fn is_full(&self) -> bool {
        self.0.len() >= super::MOST_LINES
    }

    /// The reckoning that ends at this line.
    pub(super) fn end(self, subject: Subject, answer: &Operand, sure: Sure, change: Change) -> Option<Reckoning> {
        let Source::Line(answer) = answer.source else { return None };
        let shown = self.0.get(answer)?.result;
        Some(Reckoning { subject, shown, answer, lines: self.0, sure, change, judged: None })
    }
}
