//! The TypeScript types of everything that crosses, made from the Rust ones.

use crate::{documents, pictures, plate_in_hand, sample, views};
use ts_rs::{Config, TS, TypeVisitor};
use wasm_bindgen::prelude::*;

/// wasm-bindgen's declarations name the types below as `T.Plan`, `T.Summary` and so on.
#[wasm_bindgen(typescript_custom_section)]
const IMPORT: &str = "import type * as T from './types';";

/// Declarations by name.
pub struct Declared {
    known: Config,
    of: std::collections::BTreeMap<String, String>,
}

impl TypeVisitor for Declared {
    fn visit<Named: TS + 'static + ?Sized>(&mut self) {
        // Numbers, lists and the like have no declaration of their own.
        if Named::output_path().is_none() {
            return Named::visit_generics(self);
        }
        let name = Named::ident(&self.known);
        let said =
            format!("{}export {}\n", Named::docs().unwrap_or_default(), Named::decl(&self.known));
        match self.of.insert(name.clone(), said.clone()) {
            Some(before) => assert_eq!(before, said, "two types are called {name}"),
            None => Named::visit_dependencies(self),
        }
    }
}

impl Declared {
    /// A TypeScript module with all of them.
    #[must_use]
    pub fn module(&self) -> String {
        let mut text = String::from("// Made from the Rust by `cargo xtask wasm`.\n\n");
        for said in self.of.values() {
            text.push_str(said);
            text.push('\n');
        }
        text
    }
}

/// Declares types and all that they are made of, beside those `declared` before.
#[macro_export]
macro_rules! declare {
    ($declared:expr, $($named:ty),* $(,)?) => {
        $(ts_rs::TypeVisitor::visit::<$named>(&mut $declared);)*
    };
}

/// Every type that crosses the border here; `page_studies` adds its own.
///
/// # Panics
/// When two different types have one name; `xtask wasm` runs it, never the page.
#[must_use]
pub fn declared() -> Declared {
    let known = Config::new().with_large_int("number");
    let mut declared = Declared { known, of: std::collections::BTreeMap::new() };
    declare![
        declared,
        // Documents.
        plan::Plan,
        documents::Catalogue,
        documents::Checked,
        documents::OpenedLink,
        documents::Differences,
        documents::TakenUp,
        crate::edits::EditedPlan,
        // The plate in hand.
        plate_in_hand::Taken,
        plate_in_hand::PictureTaken,
        pictures::Tones,
        picture::Toned,
        views::WindowRequest,
        views::Place,
        views::CutRequest,
        views::Image,
        views::Grey,
        views::ProofSquares,
        views::Cut,
        views::Moment,
        sample::SampleRequest,
        crate::strips::Strip,
        sample::Sample,
        sample::OneValueOf,
        crate::questions::Suits,
        study::summary::Summary,
        study::sensitivity::Sensitivity,
        plate::chain::LineFacts,
        study::rework::Passage,
        plate::chain::Printed,
        study::timeline::Stage,
        picture::Ring,
        picture::Guide,
        picture::GuidePaper,
        plan::Units,
    ];
    declared
}
