//! What a shop's proofs tell: why one did not print as planned, what next, and the shop's own constants from all of them.

use crate::studies::{Studies, sound_plan};
use page::crossing::{Answer, give, take, words};
use study::calibration::unfitted;
use study::proof_causes::{AsFound, Evidence, ProofSeen, ProofTables, explain, learn, next};
use wasm_bindgen::prelude::*;

#[wasm_bindgen]
impl Studies {
    /// Why a proof of a plan did not print as planned. `shares` of the plate per value, paper first, are those of its picture.
    #[wasm_bindgen(unchecked_return_type = "T.Explained")]
    pub fn explain_proof(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        shares: &[f64],
        #[wasm_bindgen(unchecked_param_type = "T.ProofSeen")] seen: JsValue,
    ) -> Answer {
        let plan = sound_plan(&plan)?;
        let seen: ProofSeen = take(seen)?;
        let asked = (unfitted(&plan), shares.to_vec());
        let known = match self.proof_tables.take() {
            Some(known) if known.0 == asked => known,
            _ => {
                let tables = ProofTables::new(&asked.0, shares).map_err(words)?;
                (asked, tables)
            }
        };
        let tables = &self.proof_tables.insert(known).1;
        give(&explain(&plan, tables, &seen).map_err(words)?)
    }

    /// What can be done after a proof, if the plate is as a cause has it; `wished_l` is the wished print, value
    /// 1 first, or nothing for the plan's own.
    #[wasm_bindgen(unchecked_return_type = "T.AfterProof")]
    pub fn after_proof(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "T.Plan")] plan: JsValue,
        shares: &[f64],
        #[wasm_bindgen(unchecked_param_type = "T.AsFound")] as_found: JsValue,
        wished_l: &[f64],
    ) -> Answer {
        let plan = sound_plan(&plan)?;
        let found: AsFound = take(as_found)?;
        let renderer = &mut self.renderer;
        give(&next(&plan, shares, &found, wished_l, renderer).map_err(words)?)
    }

    /// The shop's own constants from what all its proofs tell; without one of them, by leaving it out.
    #[wasm_bindgen(unchecked_return_type = "T.Learned")]
    pub fn learn_from_proofs(
        &self,
        #[wasm_bindgen(unchecked_param_type = "T.Evidence[]")] evidence: JsValue,
    ) -> Answer {
        let evidence: Vec<Evidence> = take(evidence)?;
        give(&learn(&evidence))
    }
}
