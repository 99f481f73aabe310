//! Unions of discs, measured exactly on their arcs.

use super::{caps, one_size};
use plate::ground::{Dome, Ground, statistics};
use std::f64::consts::{PI, TAU};

/// Radius of the discs, µm.
const RADIUS_UM: f64 = 10.0;

/// What is known of a union of discs.
#[derive(Debug)]
pub(crate) struct Union {
    pub(crate) cover: f64,
    /// Boundary per area × r.
    pub(crate) perimeter_r: f64,
    /// Euler number per area × πr².
    pub(crate) euler: f64,
    /// Share of discs that touch no other.
    pub(crate) isolated: f64,
}

/// Loose grains of radius 10 µm, n = λπr², over a square; its side.
fn loose(n: f64, cells: i32, seed: u32) -> (Vec<(f64, f64)>, f64) {
    let ground = Ground::new(&one_size(RADIUS_UM, n), &caps(55.0, 1.0), seed);
    assert!(!ground.pooled(), "every grain is drawn");
    let mut grains = Vec::new();
    ground.grains(0, 0, cells, &mut grains);
    let side_um = ground.cell_um() * f64::from(cells);
    (grains.iter().map(|g| (f64::from(g.x_um), f64::from(g.y_um))).collect(), side_um)
}

/// Neighbours by squares of side `reach`.
struct Near {
    reach: f64,
    across: usize,
    squares: Vec<Vec<usize>>,
}

impl Near {
    fn new(points: &[(f64, f64)], side: f64, reach: f64) -> Self {
        let across = (side / reach).ceil() as usize + 1;
        let mut squares = vec![Vec::new(); across * across];
        for (index, point) in points.iter().enumerate() {
            squares[(point.1 / reach) as usize * across + (point.0 / reach) as usize].push(index);
        }
        Self { reach, across, squares }
    }

    /// Indices of points within `reach` of `points[index]`, and how far.
    fn around(&self, points: &[(f64, f64)], index: usize) -> Vec<(usize, f64)> {
        let (x, y) = points[index];
        let (column, row) = ((x / self.reach) as usize, (y / self.reach) as usize);
        let mut found = Vec::new();
        for row in row.saturating_sub(1)..=(row + 1).min(self.across - 1) {
            for column in column.saturating_sub(1)..=(column + 1).min(self.across - 1) {
                for &other in &self.squares[row * self.across + column] {
                    let distance = (points[other].0 - x).hypot(points[other].1 - y);
                    if other != index && distance < self.reach {
                        found.push((other, distance));
                    }
                }
            }
        }
        found
    }
}

/// Measures the union. Each disc in the middle counts its own bare arcs; by Gauss and Bonnet the
/// Euler number is the whole turning of the boundary / 2π: arcs turn by their angle, the inward
/// corner between two discs back by the angle between their radii, half of it at either arc's end.
pub(crate) fn measure(n: f64, seed: u32) -> Union {
    let (points, side) = loose(n, 240, seed);
    let near = Near::new(&points, side, 2.0 * RADIUS_UM);
    let edge = 2.0 * RADIUS_UM..side - 2.0 * RADIUS_UM;
    let (mut discs, mut alone, mut bare, mut turning) = (0.0, 0.0, 0.0, 0.0);
    for (index, &(x, y)) in points.iter().enumerate() {
        if !edge.contains(&x) || !edge.contains(&y) {
            continue;
        }
        discs += 1.0;
        let others = near.around(&points, index);
        alone += f64::from(u8::from(others.is_empty()));
        // Each neighbour hides an arc of this disc: from its direction − half to + half; at both
        // ends the angle between the two radii is π − 2·(π/2 − half) = 2·half for equal discs.
        let mut hidden: Vec<(f64, f64, f64)> = Vec::new();
        for &(other, distance) in &others {
            let middle = (points[other].1 - y).atan2(points[other].0 - x);
            let half = (distance / (2.0 * RADIUS_UM)).acos();
            let corner = PI - 2.0 * half;
            let from = (middle - half).rem_euclid(TAU);
            let to = from + 2.0 * half;
            hidden.push((from, to.min(TAU), corner));
            if to > TAU {
                hidden.push((0.0, to - TAU, corner));
            }
        }
        hidden.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut end, mut corner_at_end) = (0.0_f64, None);
        for &(from, to, corner) in &hidden {
            if from > end {
                bare += from - end;
                turning += from - end;
                turning -= 0.5 * (corner + corner_at_end.unwrap_or(0.0));
            }
            if to > end {
                (end, corner_at_end) = (to, Some(corner));
            }
        }
        if end < TAU {
            bare += TAU - end;
            turning += TAU - end - 0.5 * corner_at_end.unwrap_or(0.0);
        }
    }
    let area = (edge.end - edge.start) * (edge.end - edge.start);
    // Only the middle is measured: discs beyond the square's border are not known.
    let at = |along: f64| (along - edge.start) as f32;
    let domes: Vec<Dome> = points
        .iter()
        .map(|p| Dome { x_um: at(p.0), y_um: at(p.1), radius_um: RADIUS_UM as f32 })
        .collect();
    Union {
        cover: statistics::cover(&domes, at(edge.end), 2000),
        perimeter_r: bare * RADIUS_UM * RADIUS_UM / area,
        euler: turning / TAU / area * PI * RADIUS_UM * RADIUS_UM,
        isolated: alone / discs,
    }
}

/// Cover at which discs on random places first join left to right: grows the discs until they do.
pub(crate) fn percolation_cover(seed: u32) -> f64 {
    let (points, side) = loose(1.1, 64, seed);
    let reach = 3.0 * RADIUS_UM;
    let near = Near::new(&points, side, reach);
    let (left, right) = (points.len(), points.len() + 1);
    let mut joins: Vec<(f64, usize, usize)> = Vec::new();
    for (index, &(x, _)) in points.iter().enumerate() {
        joins.push((2.0 * x, index, left));
        joins.push((2.0 * (side - x), index, right));
        joins.extend(near.around(&points, index).into_iter().map(|(o, d)| (d, index, o)));
    }
    joins.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut parent: Vec<usize> = (0..points.len() + 2).collect();
    fn root(parent: &mut [usize], mut index: usize) -> usize {
        while parent[index] != index {
            parent[index] = parent[parent[index]];
            index = parent[index];
        }
        index
    }
    for (distance, a, b) in joins {
        let (a, b) = (root(&mut parent, a), root(&mut parent, b));
        parent[a] = b;
        if root(&mut parent, left) == root(&mut parent, right) {
            assert!(distance < reach, "joined within reach");
            let density = points.len() as f64 / (side * side);
            return 1.0 - (-density * PI * 0.25 * distance * distance).exp();
        }
    }
    unreachable!("discs that grow join at last")
}
