//! Which loop to run next, in words.

use crate::advice::rotation::Told;

impl Told {
    /// In a sentence or two.
    pub fn words(&self) -> String {
        match self {
            Self::Pitches(pitches) => format!(
                "Loops of different pitch ({}) are named for this saw: they cannot share one sprocket. Check their cards.",
                pitches.join(", ")
            ),
            Self::NoneCanRun => "No loop of this saw can run now.".to_owned(),
            Self::OnlyNewOnWornOut => {
                "The sprocket is worn out and only new loops are left: renew it first.".to_owned()
            }
            Self::RunOut(name) => {
                format!("The sprocket is worn out: renew it, or run the most worn loop, {name}, out on it first.")
            }
            Self::Only(name) => format!("Run {name}: it is the only loop that can run now."),
            Self::Next(name) => format!("Run {name} next: of those that may run, it has the most life left."),
            Self::Keep(names) => {
                format!("Keep for the new sprocket: {}. A new loop on a worn sprocket wears quickly.", names.join(", "))
            }
            Self::OnlyNewOnWorn => {
                "The sprocket is worn, and only new loops are left: renew it first if you can.".to_owned()
            }
            Self::FarApart => "The loops stand far apart: the fresher ones first, until they are alike.".to_owned(),
            Self::Alone => "A loop that runs alone wears its sprocket with it: renew both together.".to_owned(),
            Self::ByTurns => {
                "Take them in turn, a round each, and renew the sprocket with them (common practice, no source)."
                    .to_owned()
            }
            Self::Many(n) => format!(
                "{n} loops on one sprocket: 3 to 4 are the usual number (common practice, no source; sources say a sprocket \
                 lasts about two loops, or 3 to 4 with its bar)."
            ),
        }
    }
}
