//! Whole prints: how tone goes with wiping, bite, cover, grain and ink.

use super::*;

#[test]
fn plate_tone_and_open_bite_per_wipe() {
    // The model's own table of films (§2a), and Lalanne §37: an open bite prints grey, not white.
    let grid = grid(200, 200, 5.0);
    let flat =
        |wipe, depth_um: f32| print(&wiped(wipe), &vec![depth_um; grid.len()], &grid).density;
    for (wipe, land, open) in
        [(Wipe::Tarlatan, 0.169, 0.238), (Wipe::Hand, 0.078, 0.150), (Wipe::Hard, 0.072, 0.093)]
    {
        near(&format!("bare land, {wipe:?}"), flat(wipe, 0.0), land, 0.002);
        near(&format!("open bite, {wipe:?}"), flat(wipe, 40.0), open, 0.002);
    }
    let land = flat(Wipe::Hand, 0.0);
    for depth_um in 1..=40 {
        let open = flat(Wipe::Hand, depth_um as f32);
        assert!(open > land && open < 0.17, "open bite {depth_um} µm deep: {open}");
    }
}

#[test]
fn deeper_bites_darken_less_and_less_then_break_down() {
    // C. Mitjà, Heliogravure VIII (2017): darkest just before the open bite; the numbers and their
    // tolerances are those of the model worked out independently (check rows 24, 25, 28).
    let ground = DiscGround::new(2048.0, 2.0, 0.5, 1);
    let bites = [1.0, 2.0, 4.0, 6.0, 10.0, 15.0, 18.0, 20.0, 22.0, 25.0, 28.0, 30.0, 40.0];
    let densities = |inking: &Inking| -> Vec<f64> {
        bites
            .iter()
            .map(|&bite_um| {
                let (side, depth_um) = ground.bitten(bite_um, 4.0);
                print(inking, &depth_um, &grid(side, side, 4.0)).density
            })
            .collect()
    };
    let neat = densities(&hand());
    let at = |bite_um: f64| neat[bites.iter().position(|&b| b == bite_um).unwrap()];
    let darkest = neat.iter().copied().fold(0.0, f64::max);
    let darkest_at = bites[neat.iter().position(|&d| d == darkest).unwrap()];
    assert!((15.0..=28.0).contains(&darkest_at), "darkest at {darkest_at} µm");
    assert!((1.25..=1.45).contains(&darkest), "darkest {darkest}");
    assert!(at(40.0) < 0.75 * darkest, "broken down at 40 µm: {}", at(40.0));
    for (bite_um, want) in [(6.0, 0.629), (15.0, 1.194), (20.0, 1.341)] {
        near(&format!("D at cover .5, bite {bite_um}"), at(bite_um), want, 0.07);
    }
    let slope = |from: f64, to: f64| (at(to) - at(from)) / (to - from);
    let slopes = [slope(1.0, 4.0), slope(6.0, 10.0), slope(10.0, 15.0), slope(15.0, 20.0)];
    assert!(slopes.windows(2).all(|s| s[0] > s[1]), "diminishing returns: {slopes:?}");

    // Thinned to c .65 it is lighter everywhere and its black falls by .20–.35 (check row 31).
    let thin = densities(&thinned(0.65));
    assert!(
        neat.iter().zip(&thin).all(|(a, b)| b < a),
        "thinned ink is lighter: {neat:?} {thin:?}"
    );
    let fall = darkest - thin.iter().copied().fold(0.0, f64::max);
    assert!((0.20..=0.35).contains(&fall), "black falls by {fall}");

    // Tarlatan > hand > hard (Lalanne §§90–92; copperplatepress.com 2009).
    let (tarlatan, hard) = (densities(&wiped(Wipe::Tarlatan)), densities(&wiped(Wipe::Hard)));
    for i in 0..bites.len() {
        assert!(tarlatan[i] > neat[i] && neat[i] > hard[i], "order of wiping at {} µm", bites[i]);
    }
}

#[test]
fn about_half_cover_is_darkest() {
    // artbyjulianne.com, "How tones are created", and Notes on Aquatint Technique: 40–60 %, on a
    // grid of .05; the densities are those of the model worked out independently (rows 26–28).
    let covers = [0.1, 0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.9];
    let grounds: Vec<DiscGround> =
        covers.iter().map(|&c| DiscGround::new(2048.0, 2.0, c, 21)).collect();
    let paper = light::density(0.85);
    for bite_um in [6.0, 10.0, 15.0, 20.0] {
        let densities: Vec<f64> = grounds
            .iter()
            .map(|ground| {
                let (side, depth_um) = ground.bitten(bite_um, 4.0);
                print(&hand(), &depth_um, &grid(side, side, 4.0)).density
            })
            .collect();
        let darkest = densities.iter().copied().fold(0.0, f64::max);
        let cover = covers[densities.iter().position(|&d| d == darkest).unwrap()];
        assert!(
            (0.39..=0.61).contains(&cover),
            "darkest cover at {bite_um} µm is {cover}: {densities:?}"
        );
        let share = |d: f64| (d - paper) / (darkest - paper);
        assert!(
            share(densities[10]) < 0.60,
            "90 % cover at {bite_um} µm: {}",
            share(densities[10])
        );
        assert!(share(densities[0]) < 0.35, "10 % cover at {bite_um} µm: {}", share(densities[0]));
        if bite_um == 15.0 {
            for (i, want) in [(1, 0.989), (9, 1.022), (10, 0.584)] {
                near(&format!("D at cover {}, bite 15", covers[i]), densities[i], want, 0.07);
            }
        }
    }
}

#[test]
fn pixel_size_and_seed_hardly_matter() {
    // Check row 29: 1.15–1.21 ± .04 from 2 to 10 µm and over seeds.
    for seed in [1, 2] {
        let ground = DiscGround::new(1600.0, 1.0, 0.5, seed);
        for px_um in [2.0, 4.0, 10.0] {
            let (side, depth_um) = ground.bitten(15.0, px_um);
            let density = print(&hand(), &depth_um, &grid(side, side, px_um as f32)).density;
            assert!((1.11..=1.25).contains(&density), "D at {px_um} µm, seed {seed}: {density}");
        }
    }
}

#[test]
fn the_patch_law_and_the_image_agree() {
    // J. S. Arney: paper constants whose Gaussian is 47–66 µm go with n = 1.8 (check row 32).
    for light_spread_um in [47.0, 50.0, 66.0] {
        let constants = InkConstants { light_spread_um, ..InkConstants::default() };
        let inking = Inking::new(&Ink::default(), &Paper::default(), &constants);
        for bite_um in [2.0, 6.0, 15.0, 25.0] {
            let (grid, depth_um) = disc_field(0.5, bite_um, 8);
            let print = print(&inking, &depth_um, &grid);
            let image = light::density(mean(&print.reflectance));
            near(&format!("D at {bite_um} µm, σ {light_spread_um}"), image, print.density, 0.04);
        }
    }
}

#[test]
fn thinner_ink_never_darkens_anywhere() {
    let (grid, depth_um) = disc_field(0.5, 10.0, 4);
    let at = |base_parts: f64, reducer_parts: f64| {
        let ink = Ink { base_parts, reducer_parts, ..Ink::default() };
        print(&Inking::new(&ink, &Paper::default(), &InkConstants::default()), &depth_um, &grid)
            .reflectance
    };
    let mut last = at(0.0, 0.0);
    for (base, reducer) in [(0.0, 10.0), (20.0, 10.0), (100.0, 10.0), (400.0, 100.0)] {
        let next = at(base, reducer);
        assert!(
            last.iter().zip(&next).all(|(a, b)| b >= a),
            "{base} + {reducer} parts darken somewhere"
        );
        last = next;
    }
}

#[test]
fn any_depth_prints_something_between_ink_and_paper() {
    // Fields of any depth from 0 to 200 µm and any size, down to one pixel and to none.
    let mut random = Random::new(9);
    for (width, height, px_um) in [
        (1, 1, 4.0),
        (3, 200, 4.0),
        (257, 5, 5.0),
        (64, 64, 10.0),
        (90, 70, 0.5),
        (33, 40, 50.0),
        (130, 131, 3.7),
    ] {
        for deepest in [0.0, 0.2, 5.0, 60.0, 200.0] {
            let grid = Grid { left_px: -7, top_px: 12_345, width, height, px_um };
            let depth_um: Vec<f32> = (0..grid.len())
                .map(|_| (deepest * (2.0 * random.share() - 1.0).max(0.0)) as f32)
                .collect();
            let print = print(&hand(), &depth_um, &grid);
            for (i, &depth) in depth_um.iter().enumerate() {
                let (t, r) = (print.held_um[i], print.reflectance[i]);
                assert!(t >= 0.05 - 1e-6 && t <= depth.max(0.25) + 1e-5, "held {t} in {}", depth);
                assert!(print.printed_um[i] >= 0.0 && print.printed_um[i] <= 200.0, "printed");
                assert!((0.0224..=0.850_001).contains(&r), "reflectance {r}, deepest {deepest}");
            }
            assert!(
                mean(&print.printed_um) <= mean(&print.held_um) + 1e-6,
                "no more printed than held"
            );
        }
    }
    let nothing = grid(0, 0, 4.0);
    assert!(print(&hand(), &[], &nothing).reflectance.is_empty(), "an empty window prints nothing");
}
