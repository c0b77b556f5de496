//! Each trade word in one line.

/// Word and meaning, in the order of the alphabet.
pub(crate) const WORDS: [(&str, &str); 43] = [
    ("back slope", "fall of the top plate to the rear: shorter is lower"),
    ("bite angle", "angle at the raker top between the run and the working corner"),
    ("changeover", "wear from which the wear-scaled gap is worth using"),
    ("cutter", "the working link: tooth and raker, left-hand or right-hand"),
    ("cutting angle", "the wedge under the edge; file size and height make it"),
    ("damaged", "a cutter that needs more off than a dull edge"),
    ("depth gauge", "the other name of the raker"),
    ("drive link", "middle link whose tang runs in the bar's groove"),
    ("even", "all kept cutters within the length tolerance"),
    ("file tilt", "how far the file's handle is held from level"),
    ("fixed gap", "one raker gap for every cutter, however worn"),
    ("full complement", "a cutter every two drive links"),
    ("gap growth", "how much the gap must grow to keep the bite angle"),
    ("gauge", "thickness of the drive link in the groove"),
    ("guide bar", "the bar that carries the chain"),
    ("kerf", "width of the cut"),
    ("kickback", "the bar's sudden jump up and back when its nose meets something"),
    ("left short", "a damaged cutter that is not matched this time, on purpose"),
    ("length", "rear edge of the top plate to the working corner"),
    ("loop", "a saw chain closed into a ring"),
    ("need", "length that a cutter must lose to be sharp"),
    ("pitch", "distance over three rivets, halved"),
    ("plate gauge", "laid on corner and strap; the raker is filed flush with it"),
    ("practice", "a round on a made-up loop; or a loop set aside for drills"),
    ("rack", "all loops in care"),
    ("raker", "the projection ahead of the edge that sets how deep it bites"),
    ("raker gap", "how far the raker's top is below the working corner"),
    ("reach", "raker top to working corner, along the chain"),
    ("rivet", "pin that joins the links"),
    ("round", "one sharpening of one loop, look-over to sign-off"),
    ("semi-skip", "two cutters every five drive links"),
    ("sharpener", "who files"),
    ("sheet", "the report of a round"),
    ("side plate", "the upright of the cutter; severs the fibres"),
    ("skip", "a cutter every three drive links"),
    ("start mark", "where the count of cutters begins"),
    ("target", "the gap, bite or angle wanted; of a length: length to file to"),
    ("tie strap", "outer link without a cutter"),
    ("tip drop", "height that the corner has lost since new"),
    ("top plate", "the roof of the cutter; lifts the chip"),
    ("wear-scaled gap", "a raker gap that grows with wear, to keep the bite angle"),
    ("witness mark", "line on the cutter that ends its life"),
    ("working corner", "where top plate and side plate meet: it cuts first"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_in_order_and_fit_a_line() {
        assert!(WORDS.windows(2).all(|pair| pair[0].0 < pair[1].0));
        for (word, meaning) in WORDS {
            assert!(17 + meaning.len() <= 80 && word.len() < 17, "{word}: {}", meaning.len());
        }
    }
}
