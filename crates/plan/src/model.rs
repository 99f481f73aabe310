//! The model that a proof is made with, named by every plan file and link.

use crate::types::Plan;

/// The model that this program makes proofs with: everything between a plan and the light its print
/// throws back.
///
/// Raise it by one whenever the digests of plates (`tests/digests/digests.txt`) change, for then a plan
/// made before prints other grains, or the same grains otherwise. A test holds the two together.
///
/// 1: grains of dust are fluff, domes that touch flow into round ones. 2: grains are solid, edges hold and the
/// rate follows the open share (`docs/physics/second-model.md`). 3: what is narrower than the plan's narrowest place goes
/// to the values beside it; plates of plans that name none are those of 2. 4: the same, calculated in three quarters of the steps: no dot of a
/// proof is more than 0.03 L* from that of 3.
pub const MODEL: u32 = 4;

/// What a plan that names no model was made with.
pub(crate) fn unsaid() -> u32 {
    MODEL
}

impl Plan {
    /// What its owner should know when the plan was made with another model than this program's.
    #[must_use]
    pub fn other_model(&self) -> Option<String> {
        let kept = "Every choice in it is kept, but its print may differ from the one seen then.";
        match self.model {
            MODEL => None,
            earlier @ ..MODEL => Some(format!(
                "This plan was made when Platewright calculated with an earlier model of the plate (model {earlier}; today’s is {MODEL}). {kept}"
            )),
            later => Some(format!(
                "This plan was made with a newer Platewright and its model of the plate (model {later}; the one here is {MODEL}). {kept} The newer Platewright shows it as it was."
            )),
        }
    }

    /// Goes on with the plan under this program's model, and says so where it was made with another.
    pub fn take_up(&mut self) -> Option<String> {
        let said = self.other_model();
        self.model = MODEL;
        said
    }
}
