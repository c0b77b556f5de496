//! The one way to scroll: every page, and every list with a cursor, answers the same keys alike.
//!
//! Only a drawing knows how long a page is in its window, so that is kept from one drawing to the next key.

use std::cell::Cell;
use std::ops::Range;

use super::keys::Action;

/// Where a key leads from `at`, of places up to `last` of which a window shows `height`. `None` for other keys.
fn moved(action: Action, at: usize, last: usize, height: usize) -> Option<usize> {
    // A page is a window less a line: that line says where one was.
    let page = height.saturating_sub(1).max(1);
    let at = at.min(last);
    let to = match action {
        Action::Down => at + 1,
        Action::Up => at.saturating_sub(1),
        Action::PageDown => at + page,
        Action::PageUp => at.saturating_sub(page),
        Action::First => 0,
        Action::Last => last,
        _ => return None,
    };
    Some(to.min(last))
}

/// A page that is longer than its window.
#[derive(Debug, Clone, Default)]
pub(super) struct Scroll {
    top: usize,
    /// The last line that can stand on top, and the height of the window, as last drawn.
    drawn: Cell<(usize, usize)>,
}

impl Scroll {
    /// Moves the page where the key does that.
    pub(super) fn act(&mut self, action: Action) {
        let (last, height) = self.drawn.get();
        self.top = moved(action, self.top, last, height).unwrap_or(self.top);
    }

    /// Back to the top: another text stands on the page.
    pub(super) fn restart(&mut self) {
        self.top = 0;
    }

    /// The lines to be seen, of this many in a window this high. The last windowful stays full: there is nothing past the end.
    pub(super) fn lines(&self, count: usize, height: usize) -> Range<usize> {
        let last = count.saturating_sub(height.max(1));
        self.drawn.set((last, height));
        let top = self.top.min(last);
        top..(top + height).min(count)
    }
}

/// A cursor in a list that is longer than its window.
#[derive(Debug, Clone, Default)]
pub(super) struct Cursor {
    at: usize,
    /// Height of the window as last drawn.
    height: Cell<usize>,
}

impl Cursor {
    /// The row it stands on.
    pub(super) const fn at(&self) -> usize {
        self.at
    }

    /// Puts it on a row.
    pub(super) fn set(&mut self, at: usize) {
        self.at = at;
    }

    /// Moves it in a list of so many rows where the key does that.
    pub(super) fn act(&mut self, action: Action, count: usize) {
        self.at = moved(action, self.at, count.saturating_sub(1), self.height.get()).unwrap_or(self.at);
    }

    /// The rows to be seen, of this many in a window this high: that of the cursor is one of them.
    pub(super) fn rows(&self, count: usize, height: usize) -> Range<usize> {
        self.height.set(height);
        let top = (self.at + 1).saturating_sub(height.max(1));
        top.min(count)..(top + height).min(count)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn after_the_end_up_moves_at_once() {
        for count in [0, 1, 9, 10, 11, 40] {
            let mut page = Scroll::default();
            page.lines(count, 10);
            page.act(Action::Last);
            let end = page.lines(count, 10);
            assert_eq!(end, count.saturating_sub(10)..count);
            for action in [Action::Down, Action::PageDown, Action::Last] {
                page.act(action);
                assert_eq!(page.lines(count, 10), end, "{action:?} moves past the end");
            }
            page.act(Action::Up);
            assert_eq!(page.lines(count, 10).start, end.start.saturating_sub(1));
        }
    }

    #[test]
    fn a_page_down_and_a_page_up_lead_back() {
        let mut page = Scroll::default();
        page.lines(40, 10);
        page.act(Action::PageDown);
        assert_eq!(page.lines(40, 10), 9..19);
        page.act(Action::PageUp);
        assert_eq!(page.lines(40, 10), 0..10);
        page.act(Action::Close);
        assert_eq!(page.lines(40, 10), 0..10);
    }

    #[test]
    fn a_window_that_grows_stays_filled() {
        let mut page = Scroll::default();
        page.lines(40, 5);
        page.act(Action::Last);
        assert_eq!(page.lines(40, 5), 35..40);
        assert_eq!(page.lines(40, 30), 10..40);
        page.act(Action::Up);
        assert_eq!(page.lines(40, 30), 9..39);
        assert_eq!(page.lines(3, 0), 2..2);
    }

    #[test]
    fn the_row_of_the_cursor_is_always_seen() {
        let mut cursor = Cursor::default();
        for action in [Action::Down, Action::PageDown, Action::Last, Action::Up, Action::PageUp, Action::First] {
            for height in [1, 7, 100] {
                assert!(cursor.rows(20, height).contains(&cursor.at()), "{action:?} {height}");
            }
            cursor.rows(20, 7);
            cursor.act(action, 20);
        }
        assert_eq!(cursor.at(), 0);
        cursor.act(Action::Last, 20);
        cursor.act(Action::Up, 20);
        assert_eq!(cursor.at(), 18);
        cursor.act(Action::Last, 0);
        assert_eq!((cursor.at(), cursor.rows(0, 5)), (0, 0..0));
    }
}
