//! A photograph of a proof read by the native program: the program's own proof on a sheet, turned, as a JPEG file.

use image::imageops;
use serde_json::Value;
use std::path::PathBuf;
use std::process::{Command, Output};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_platewright"))
        .args(arguments)
        .output()
        .expect("the native program runs")
}

fn of(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    path.to_str().expect("a name").to_owned()
}

/// Pixels to a mm, and paper round the plate, mm.
const PX_PER_MM: u32 = 10;
const ROUND_MM: u32 = 15;

/// A small plate.
fn small() -> plan::Plan {
    let mut small = plan::Plan::default();
    (small.plate.width_mm, small.plate.height_mm) = (30.0, 40.0);
    small
}

/// The program's own proof of a plan, on a sheet with bare paper round it; and that paper alone.
fn sheet(name: &str, plan: &plan::Plan) -> (image::GrayImage, image::GrayImage) {
    let [file, proof] = ["plan.json", "proof.png"].map(|end| of(&format!("{name}-{end}")));
    std::fs::write(&file, plan.to_json()).expect("written");
    let made = run(&["proof", &file, "--dpi", "254", "--output", &proof]);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let print = image::open(&proof).expect("a picture").into_luma8();
    assert_eq!(print.dimensions(), (30 * PX_PER_MM, 40 * PX_PER_MM), "ten pixels to a mm");
    let round = ROUND_MM * PX_PER_MM;
    let paper = plate::light::srgb8(plan.paper.reflectance);
    let bare = image::GrayImage::from_pixel(
        print.width() + 2 * round,
        print.height() + 2 * round,
        image::Luma([paper]),
    );
    let mut sheet = bare.clone();
    imageops::replace(&mut sheet, &print, i64::from(round), i64::from(round));
    (sheet, bare)
}

fn read_of(arguments: &[&str]) -> Value {
    let read = run(arguments);
    assert!(read.status.success(), "{}", String::from_utf8_lossy(&read.stderr));
    serde_json::from_slice(&read.stdout).expect("JSON")
}

#[test]
fn a_proof_of_one_s_own_is_read_and_squared_up() {
    let [plan, photo, blank, squared] =
        ["read.json", "read.jpg", "read-blank.jpg", "read-squared.png"].map(of);
    std::fs::write(&plan, small().to_json()).expect("written");
    let (sheet, bare) = sheet("read", &small());
    // Turned to the right: the print's top left lies at the picture's top right.
    imageops::rotate90(&sheet).save(&photo).expect("written");
    bare.save(&blank).expect("written");

    let read = read_of(&["read", &plan, "--photo", &photo, "--squared-up", &squared]);
    let reading = &read["reading"];
    let number = |value: &Value| value.as_f64().expect("a number");
    let round = ROUND_MM * PX_PER_MM;
    let far = f64::from(round + 40 * PX_PER_MM);
    let near = f64::from(round);
    let down = f64::from(round + 30 * PX_PER_MM);
    for (corner, (x, y)) in
        [(far, near), (far, down), (near, down), (near, near)].iter().enumerate()
    {
        let found = &reading["corners"][corner];
        let off = libm::hypot(number(&found[0]) - x, number(&found[1]) - y);
        assert!(off < 0.3 * f64::from(PX_PER_MM), "corner {corner} is {off} pixels off: {found}");
    }
    let values = reading["values"].as_array().expect("values");
    assert_eq!(values.len(), 8, "the paper and seven values");
    let read_ones = values.iter().filter(|value| !value.is_null());
    let mut count = 0;
    for value in read_ones {
        let off = number(&value["lightness"]) - number(&value["expected_l"]);
        assert!(off.abs() < number(&value["good_to_l"]), "{value}");
        assert!(off.abs() < 2.0 || number(&value["cells"]) < 40.0, "{value}");
        count += 1;
    }
    assert!(count >= 6, "{count} values are read");
    let squared = image::open(&squared).expect("a picture");
    assert_eq!((squared.width(), squared.height()), (240, 320), "eight pixels to a mm");

    let refused = run(&["read", &plan, "--photo", &blank]);
    let said = String::from_utf8_lossy(&refused.stderr);
    assert!(!refused.status.success() && said.contains("No print"), "{said}");
    let refused = run(&["read", &plan, "--photo", &photo, "--corners", "1,2,3"]);
    assert!(
        String::from_utf8_lossy(&refused.stderr).contains("eight numbers"),
        "three are too few"
    );
}

#[test]
fn what_a_photograph_shows_is_explained() {
    let [plan, photo] = ["told.json", "told.jpg"].map(of);
    // A shop whose constants are known, and a bath that bites two fifths slower than planned: as if each bite were as much shorter.
    let mut known = small();
    for key in [
        "bite.rate_um_per_min",
        "ink.absorption_per_um",
        "ink.surface_reflectance",
        "ink.hand_overlap_um",
    ] {
        let constant = plate::constants::Constants::default().get(key).expect("a constant");
        known.calibration.insert(key.to_owned(), constant);
    }
    std::fs::write(&plan, known.to_json()).expect("written");
    let mut slower = known.clone();
    for bite in &mut slower.bites {
        bite.bite_min = (2.4 * bite.bite_min).round() / 4.0;
    }
    let (sheet, _) = sheet("told", &slower);
    sheet.save(&photo).expect("written");
    let told = &read_of(&["read", &plan, "--photo", &photo])["told"];
    let causes = told["causes"].as_array().expect("causes");
    let first: Vec<&str> =
        causes.iter().take(2).filter_map(|one| one["cause"]["what"].as_str()).collect();
    assert!(first.contains(&"bath"), "{first:?}: {}", told["said"]["metric"]);
    let total = |minutes: &Value| -> f64 {
        minutes.as_array().expect("minutes").iter().filter_map(Value::as_f64).sum()
    };
    let wanted = total(&told["next"]["retimed"]["bite_min"]);
    let planned: f64 = known.bites.iter().map(|bite| bite.bite_min).sum();
    assert!(wanted > 1.2 * planned, "the next plate in that bath wants longer: {wanted} min");
}
