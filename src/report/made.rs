//! The mark by which the program knows again what it wrote, so that it replaces nothing else.
//!
//! A page names its maker in its head, a JSON document in its first field, an export in its first line, a table by the names
//! of its first columns (they are never renamed), and a text in its last line.

/// What a text ends with, behind a sign for a comment where its readers need one.
pub(crate) const MARK: &str = "made by evenbite";
/// The first field of a JSON document, with its value.
pub(super) const FIELD: &str = "\"made_by\": \"evenbite\",";
/// The first fields of a document and of a schema, as their second line.
const FIELDS: [&str; 2] = [FIELD, "\"$comment\": \"made by evenbite\","];
/// Who made a page, as its head says.
pub(super) const GENERATOR: &str = "evenbite";

/// How tables begin: enough of their columns that nobody else's begins so.
const TABLES: [&str; 13] = [
    "cutter,side,state,length_mm,after_mm,top_plate_deg,",
    "length_mm,wear_mm,reach_mm,fixed_gap_mm,scaled_gap_mm,",
    "loop,started,ended,how,sharpener,tool,",
    "loop,started,how,sharpener,wood,tool,profile,cutters,",
    "saw,at,loop,part,found,figure_mm,",
    "loop,name,owner,saw,chain,profile,links,cutters,",
    "loop,name,owner,saw,chain,profile,links,state,",
    "loop,name,owner,saw_name,saw,profile,",
    "round,loop,started,ended,how,sharpener,",
    "round,loop,cutter,side,state,length_before_mm,",
    "round,seq,loop,cutter,reading,value,",
    "saw,name,started,looked_at,rails,groove,",
    "person,length_u_mm,gap_u_mm,angle_u_deg",
];
/// How an export as JSON Lines begins.
const EXPORT: &str = "{\"kind\":\"export\",";

/// True for a file that this program wrote, by its beginning and its end. One with nothing in it may be replaced too.
pub fn is_ours(start: &str, end: &str) -> bool {
    let last = end.trim_end().lines().next_back().unwrap_or_default();
    let comment = |line: &str| {
        let picture = line.strip_prefix("<!-- ").and_then(|line| line.strip_suffix(" -->"));
        picture.unwrap_or(line).trim_start_matches(['#', '.', '\\', '"', ' ']) == MARK
    };
    start.is_empty()
        || TABLES.iter().chain([&EXPORT]).any(|begin| start.starts_with(begin))
        || start.starts_with('{') && start.lines().nth(1).is_some_and(|line| FIELDS.contains(&line.trim()))
        || start.contains(&format!("<meta name=\"generator\" content=\"{GENERATOR}\">"))
        || comment(last)
}

/// The text as it is put into a file: with the mark, where nothing else in it says who wrote it.
pub(crate) fn marked(text: &str) -> String {
    if !text.is_empty() && is_ours(text, text) {
        return text.to_owned();
    }
    let line_end = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
    format!("{text}{line_end}{MARK}\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_others_wrote_is_not_taken_for_ours() {
        for text in [
            "cutter,side,length_mm\n1,left,8.05\n",
            "{\n  \"loop\": \"one\"\n}\n",
            "<!DOCTYPE html><html><head></head></html>",
            "made by evenbite, or so they say\nbut then edited\n",
            "a note\n",
        ] {
            assert!(!is_ours(text, text), "{text}");
            assert!(is_ours(&marked(text), &marked(text)), "{text}");
        }
        for text in ["", "x\n# made by evenbite\n", "x\n.\\\" made by evenbite\n", "{\n  \"made_by\": \"evenbite\",\n"]
        {
            assert!(is_ours(text, text), "{text}");
        }
    }
}
