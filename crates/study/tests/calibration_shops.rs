//! exploratory
mod chance;
use chance::Chance;
use plan::Plan;
use plate::{Renderer, View};
use rand_pcg::Pcg32;
use study::calibration::forward::FITTED;
use study::calibration::*;
use std::time::Instant;

fn hidden(forward: &Forward, chance: &mut Chance) -> [f64; FITTED] {
    let mut all = [0.0; FITTED];
    for (i, value) in all.iter_mut().enumerate() {
        let (low, high) = (libm::log(forward.min[i]), libm::log(forward.max[i]));
        *value = libm::exp(low + (high - low) * (0.1 + 0.8 * chance.share()));
    }
    all
}

fn printed(plan: &Plan, forward: &Forward, constants: [f64; FITTED], bites: &[f64]) -> Vec<f64> {
    let mut plan = plan.clone();
    for (key, value) in forward.keys.iter().zip(constants) {
        plan.calibration.insert((*key).to_owned(), value);
    }
    let plate = step_plate(&plan, bites).expect("a sound plan");
    let mut renderer = Renderer::default();
    let values = renderer.look(&plate, &View::default()).values();
    values.iter().skip(1).map(|v| v.lightness).collect()
}

#[test]
fn explore() {
    let t = Instant::now();
    let designed = design(&Plan::default(), 8).expect("a sound plan");
    let plate = step_plate(&Plan::default(), &designed.bite_min).unwrap();
    println!("plate {:?} {:?}", t.elapsed(), designed.bite_min);
    let forward = Forward::new(&plate).unwrap();
    println!("forward {:?}", t.elapsed());
    let grounds = Grounds::of_step_plate(&Plan::default(), &designed.bite_min).unwrap();
    println!("grounds {:?}", t.elapsed());
    let mut chance = Chance(Pcg32::new(9, 8));
    let runs: usize = std::env::var("SHOPS").ok().and_then(|s| s.parse().ok()).unwrap_or(10);
    for kind in std::env::var("KINDS").unwrap_or("planned bite ground swap slip".to_owned()).split(" ") {
        let (mut first, mut named, mut as_planned) = (0, 0, 0);
        let t = Instant::now();
        for _ in 0..runs {
            let constants = hidden(&forward, &mut chance);
            let mut plan = Plan::default();
            let mut bites = designed.bite_min.clone();
            let mut what = Otherwise::Planned;
            match kind {
                "bite" => {
                    let k = (chance.share() * 8.0) as usize;
                    let by = (1.5 + 3.5 * chance.share()) * if chance.share() < 0.3 && bites[k] > 5.5 { -1.0 } else { 1.0 };
                    bites[k] += by;
                    what = Otherwise::Bite { bite: k };
                    print!("bite {k} {by:.1} ");
                }
                "ground" => {
                    let ln = (0.25 + 0.3 * chance.share()) * if chance.share() < 0.5 { -1.0 } else { 1.0 };
                    plan.dust.powder_g_per_m2 *= libm::exp(ln);
                    what = Otherwise::Ground;
                    print!("powder {ln:.2} ");
                }
                _ => {}
            }
            let l = printed(&plan, &forward, constants, &bites);
            let mut clean = l.clone();
            let noise = 0.5 + chance.share();
            let mut read: Vec<f64> = l.iter().map(|l| l + noise * chance.normal()).collect();
            if kind == "swap" {
                let k = (chance.share() * 7.0) as usize;
                read.swap(k, k + 1); clean.swap(k, k+1);
                what = Otherwise::Swapped { one: k, other: k + 1 };
                print!("swap {k} ({:.1}) ", read[k] - read[k + 1]);
            }
            if kind == "slip" {
                let k = (chance.share() * 8.0) as usize;
                let by = (5.0 + 9.0 * chance.share()) * if chance.share() < 0.5 { -1.0 } else { 1.0 };
                read[k] += by; clean[k] += by;
                what = Otherwise::Slip { step: k };
                print!("slip {k} {by:.1} ");
            }
            let hides = fit(&forward, &clean.iter().map(|l| Some(*l)).collect::<Vec<_>>()).map_or(99.0, |f| f.steps.iter().map(|s| (s.read_l.unwrap_or(0.0) - s.printed_l).powi(2)).sum::<f64>().sqrt() / noise);
            print!("LAMBDA {hides:.1} ");
            let read: Vec<Option<f64>> = read.into_iter().map(Some).collect();
            let mut known = std::collections::BTreeMap::new();
            if std::env::var("KNOWN").is_ok() { for (k, v) in forward.keys.iter().zip(constants) { known.insert((*k).to_owned(), v * libm::exp(0.07 * chance.normal())); } }
            let told = calibrate(&forward, Some(&grounds), read, None, &Allowed::default(), &known);
            let m = &told.misfit;
            print!("noise {noise:.1} planned {:.2} | ", m.planned);
            for f in &m.findings {
                print!("{:.2} {} | ", f.share, f.said);
            }
            if let Some(fit) = &told.fit { print!("noise {:.1}", fit.noise_l); }
            println!();
            let top = m.findings.first();
            println!("STAT {kind} {hides:.2} {}", u8::from(top.is_some_and(|f| f.what == what && f.share > m.planned)));
            first += usize::from(top.is_some_and(|f| f.what == what && f.share > m.planned));
            named += usize::from(m.findings.iter().any(|f| f.what == what));
            as_planned += usize::from(m.findings.is_empty() || m.planned > m.findings[0].share);
        }
        println!("=== {kind}: first {first}, named {named}, as planned {as_planned} of {runs}; {:?}", t.elapsed());
    }
}
