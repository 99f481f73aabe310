//! Domes kept at hand, each ground's by its recipe.

use super::GroundRecipe;
use crate::ground::TileCache;

/// Most domes kept at hand (12 bytes each): those of half a dozen tiles of a proof, so that each finds the
/// ground of the tiles beside it laid; twice as many take 3 MB a worker and spare a hundredth of a proof's time. A whole
/// plate has thirteen million.
const DOMES_KEPT: usize = 250_000;
/// Domes of one later ground kept at hand.
const LATER_DOMES_KEPT: usize = 350_000;
/// Later grounds kept at hand beside those of the plan.
const LATER_GROUNDS_KEPT: usize = 4;

/// Tiles of some grounds, each known by its recipe.
pub(super) struct Tiles {
    first: GroundTiles,
    /// Of later grounds, the one last asked for first.
    later: Vec<GroundTiles>,
}

/// Tiles of one ground.
struct GroundTiles {
    recipe: Option<GroundRecipe>,
    cache: TileCache,
}

impl Default for Tiles {
    fn default() -> Self {
        let first = GroundTiles { recipe: None, cache: TileCache::new(DOMES_KEPT) };
        Self { first, later: Vec::new() }
    }
}

impl Tiles {
    /// Lets all go.
    pub(super) fn clear(&mut self) {
        self.first.cache.clear();
        self.later.clear();
    }

    /// Those of a plate's first ground; those of another are let go.
    pub(super) fn of_first(&mut self, recipe: &GroundRecipe) -> &mut TileCache {
        let first = &mut self.first;
        if first.recipe.as_ref() != Some(recipe) {
            first.cache.clear();
            first.recipe = Some(recipe.clone());
        }
        &mut first.cache
    }

    /// Those of one of so many later grounds of a plan.
    pub(super) fn of_later(&mut self, recipe: &GroundRecipe, grounds: usize) -> &mut TileCache {
        let later = &mut self.later;
        let known = later.iter().position(|tiles| tiles.recipe.as_ref() == Some(recipe));
        let tiles = match known {
            Some(at) => later.remove(at),
            None => GroundTiles {
                recipe: Some(recipe.clone()),
                cache: TileCache::new(LATER_DOMES_KEPT),
            },
        };
        later.truncate(grounds + LATER_GROUNDS_KEPT);
        later.insert(0, tiles);
        &mut later[0].cache
    }
}
