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

#[test]
fn a_proof_of_one_s_own_is_read_and_squared_up() {
    let [plan, proof, photo, blank, squared] =
        ["read.json", "read.png", "read.jpg", "read-blank.jpg", "read-squared.png"].map(of);
    let mut small = plan::Plan::default();
    (small.plate.width_mm, small.plate.height_mm) = (30.0, 40.0);
    std::fs::write(&plan, small.to_json()).expect("written");
    let made = run(&["proof", &plan, "--dpi", "254", "--px", "10", "--output", &proof]);
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));

    let print = image::open(&proof).expect("a picture").into_luma8();
    assert_eq!(print.dimensions(), (30 * PX_PER_MM, 40 * PX_PER_MM), "ten pixels to a mm");
    let round = ROUND_MM * PX_PER_MM;
    let paper = plate::light::srgb8(small.paper.reflectance);
    let bare = image::GrayImage::from_pixel(
        print.width() + 2 * round,
        print.height() + 2 * round,
        image::Luma([paper]),
    );
    let mut sheet = bare.clone();
    imageops::replace(&mut sheet, &print, i64::from(round), i64::from(round));
    // Turned to the right: the print's top left lies at the picture's top right.
    imageops::rotate90(&sheet).save(&photo).expect("written");
    bare.save(&blank).expect("written");

    let read = run(&["read", &plan, "--photo", &photo, "--squared-up", &squared]);
    assert!(read.status.success(), "{}", String::from_utf8_lossy(&read.stderr));
    let read: Value = serde_json::from_slice(&read.stdout).expect("JSON");
    let reading = &read["reading"];
    let number = |value: &Value| value.as_f64().expect("a number");
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
        // Grain of 10 µm is not as fine as it could be.
        let off = number(&value["lightness"]) - number(&value["expected_l"]);
        assert!(off.abs() < 6.0, "{value}");
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
