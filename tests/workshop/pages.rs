//! Pages, looked at by an HTML parser. `tests/smoke/browser.py` opens them in a browser.

use std::collections::BTreeSet;

use scraper::{ElementRef, Html, Selector};

/// The page, which must be well formed HTML and fetch nothing.
pub(crate) fn parse(page: &str) -> Html {
    let parsed = Html::parse_document(page);
    assert!(parsed.errors.is_empty(), "{:?}", parsed.errors);
    for word in ["http", "<script", "javascript:", "url(", "@import", "src="] {
        assert!(!page.contains(word), "{word} in the page");
    }
    assert_eq!(all(&parsed, "html[lang=en]").len(), 1);
    assert_eq!(all(&parsed, "h1").len(), 1);
    parsed
}

/// Elements that a selector finds.
pub(crate) fn all<'a>(page: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    page.select(&Selector::parse(selector).unwrap()).collect()
}

/// An attribute as a number.
pub(crate) fn number(element: ElementRef, name: &str) -> Option<f64> {
    element.attr(name).map(|value| value.parse().unwrap())
}

/// Every drawing has a name for a screen reader, every table headings with a scope and as many cells a row, every id is
/// there once and every name that refers to one finds it.
pub(crate) fn check_reading(page: &Html) {
    for svg in all(page, "svg") {
        assert_eq!(svg.attr("role"), Some("img"));
        for id in svg.attr("aria-labelledby").unwrap().split(' ') {
            let named = all(page, &format!("#{id}"));
            assert!(named.len() == 1 && !named[0].text().collect::<String>().trim().is_empty(), "{id}");
        }
    }
    let ids: Vec<&str> = all(page, "[id]").iter().map(|element| element.attr("id").unwrap()).collect();
    assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len());
    for table in all(page, "table") {
        let cells = |row: ElementRef| row.child_elements().count();
        let rows: Vec<ElementRef> = table.select(&Selector::parse("tr").unwrap()).collect();
        assert!(rows.iter().all(|row| cells(*row) == cells(rows[0])));
        assert_eq!(table.select(&Selector::parse("caption").unwrap()).count(), 1);
        assert!(table.select(&Selector::parse("th").unwrap()).all(|head| head.attr("scope").is_some()));
    }
}
