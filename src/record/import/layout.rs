//! Sides to a layout: that of the loop's card, or the one that the file's own sides make.

use super::{Found, ImportError, Options, Preview, Refused};
use crate::chain::{Layout, Sequence, Side};
use crate::round::Card;

/// Holds the rows against the card, or finds the layout of a new loop.
pub(super) fn compare(preview: &mut Preview, options: &Options, card: Option<&Card>) -> Result<(), ImportError> {
    if preview.rows.is_empty() && preview.refused.is_empty() {
        return Err(ImportError::Layout("The file has a header and no row.".to_owned()));
    }
    match card {
        Some(card) => against(preview, options, card),
        None if preview.refused.is_empty() => {
            let (found, assumed) = find(preview, options.links)?;
            if assumed {
                let text = "no number of drive links was given, so no place without a cutter is assumed";
                preview.warnings.push(format!("{} drive links: {text}.", found.links));
            }
            preview.found = Some(found);
            Ok(())
        }
        None => Ok(()),
    }
}

fn against(preview: &mut Preview, options: &Options, card: &Card) -> Result<(), ImportError> {
    if let Some(links) = options.links.filter(|links| *links != card.links) {
        let text = format!("{links} drive links were given, but loop {} has {}.", card.tag, card.links);
        return Err(ImportError::Layout(text));
    }
    let layout = card.layout()?;
    let fault = |cutter, side: Side| match layout.side(cutter) {
        None => Some(format!("There is no cutter {cutter}: loop {} has 1 to {}.", card.tag, layout.count())),
        Some(known) if known != side => Some(format!("Cutter {cutter} is {side} in the file and {known} on the loop.")),
        Some(_) => None,
    };
    let faults = preview
        .rows
        .iter()
        .filter_map(|row| fault(row.cutter, row.side).map(|reason| Refused { line: row.line, reason, doubted: false }));
    let faults: Vec<Refused> = faults.collect();
    preview.rows.retain(|row| !faults.iter().any(|refused| refused.line == row.line));
    preview.refused.extend(faults);
    preview.refused.sort_by_key(|refused| refused.line);
    let absent = usize::from(layout.count()).saturating_sub(preview.rows.len() + preview.refused.len());
    if absent > 0 {
        preview.warnings.push(format!("{absent} of the loop's {} cutters are not in the file.", layout.count()));
    }
    Ok(())
}

/// The layout, and whether its number of drive links was assumed.
fn find(preview: &Preview, links: Option<u16>) -> Result<(Found, bool), ImportError> {
    for (row, expected) in preview.rows.iter().zip(1..) {
        if row.cutter != expected {
            let text = format!("Cutter {expected} is not in the file. A new loop needs every cutter, from 1.");
            return Err(ImportError::Layout(text));
        }
    }
    let sides: Vec<Side> = preview.rows.iter().map(|row| row.side).collect();
    let first = sides.first().copied().unwrap_or(Side::Left);
    let filled = u16::try_from(2 * sides.len()).unwrap_or(u16::MAX);
    let count = links.unwrap_or(filled);
    for sequence in [Sequence::Full, Sequence::SemiSkip, Sequence::Skip] {
        let layout = Layout::new(count, &sequence, first)?;
        if layout.slots().iter().map(|slot| slot.side).eq(sides.iter().copied()) {
            return Ok((Found { links: count, sequence, first }, links.is_none()));
        }
    }
    if count != filled {
        let text = format!(
            "{} cutters in this order do not make a full, semi-skip or skip loop of {count} drive links. Take the loop into care first, with its order written out.",
            sides.len()
        );
        return Err(ImportError::Layout(text));
    }
    let order = sides.iter().map(|side| side.letter()).collect();
    Ok((Found { links: count, sequence: Sequence::Custom(order), first }, links.is_none()))
}
