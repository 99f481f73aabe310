//! Planning backwards and calibrating by the native program: what it prints, and what it refuses.

use serde_json::Value;
use std::path::PathBuf;
use std::process::{Command, Output};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_platewright"))
        .args(arguments)
        .output()
        .expect("the native program runs")
}

fn json(arguments: &[&str]) -> Value {
    let output = run(arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

fn refused(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert!(!output.status.success(), "{arguments:?} should be refused");
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn numbers(list: &Value) -> Vec<f64> {
    list.as_array().expect("a list").iter().map(|one| one.as_f64().expect("a number")).collect()
}

#[test]
fn values_become_minutes_and_a_wanted_grain_its_dust() {
    let even = json(&["backwards", "--timed", "quarters"]);
    let bites = even["bites"].as_array().expect("bites");
    assert_eq!(bites.len(), 7, "one for each value of the example");
    for bite in bites {
        let of = |key: &str| bite[key].as_f64().expect("a number");
        assert!((of("lightness") - of("wanted_l")).abs() <= 2.0, "{bite}");
        assert_eq!(of("bite_min") * 4.0 % 1.0, 0.0, "timed in quarters: {bite}");
        assert!(bite["hindrance"].is_null(), "it can be had: {bite}");
    }
    // What has run stays, and what is too dark is said.
    let told = json(&["backwards", "--values", "85,75,65,55,45,35,5", "--bitten", "1.6"]);
    assert_eq!(told["bites"][0]["bite_min"], 1.6, "as it ran");
    let sentence = told["bites"][6]["hindrance"]["sentence"]["metric"].as_str().expect("words");
    assert!(sentence.contains("L* 5"), "why L* 5 can't be had: {sentence}");
    let grain = json(&["backwards", "--grain", "40", "--cover", "0.5"]);
    assert!((grain["median_footprint_um"].as_f64().expect("a size") - 40.0).abs() < 4.0, "{grain}");
    for (arguments, part) in [
        (&["backwards", "--values", "80,60"][..], "7 values and 2 are asked for"),
        (&["backwards", "--values", "80,dark"], "is no L*"),
        (&["backwards", "--timed", "seconds"], "by_hand"),
        (&["backwards", "--draws", "2", "--spread", "guess"], "variation"),
    ] {
        let said = refused(arguments);
        assert!(said.contains(part), "{arguments:?} said: {said}");
    }
}

#[test]
fn a_step_plate_is_designed_and_read() {
    let made = json(&["calibrate", "--steps", "6"]);
    let bites = numbers(&made["bite_min"]);
    let expected = numbers(&made["expected_l"]);
    let list = |all: &[f64]| all.iter().map(f64::to_string).collect::<Vec<_>>().join(",");
    let (bites, l) = (list(&bites), list(&expected));
    // What the built-in constants print gives the built-in constants back.
    let told = json(&["calibrate", "--bites", &bites, "--readings", &l]);
    for one in told["fit"]["constants"].as_array().expect("constants") {
        let of = |key: &str| one[key].as_f64().expect("a number");
        assert!((of("value") / of("in_force") - 1.0).abs() < 0.05, "{one}");
        assert!(of("low") < of("in_force") && of("in_force") < of("high"), "{one}");
    }
    let verdict = told["fit"]["verdict"][0].as_str().expect("words");
    assert!(verdict.starts_with("Good to ± "), "{verdict}");
    for (arguments, part) in [
        (&["calibrate", "--steps", "4"][..], "6 to 10 steps"),
        (&["calibrate", "--bites", "1,2,3"], "6 to 10 steps, not 3"),
        (&["calibrate", "--bites", &bites, "--readings", "80,70,x,50,40,30"], "is no reading"),
        (&["calibrate", "--bites", &bites, "--readings", "80,-,-,50,40,30"], "at least 5"),
        (&["calibrate", "--bites", &bites, "--readings", "80,60,70,40,30,20"], "changed places"),
        (
            &["calibrate", "--bites", &bites, "--readings", "80,60,70,40,30,20"],
            "The readings of steps 2 and 3 seem to have changed places",
        ),
        (&["calibrate", "--bites", &bites, "--readings", &l, "--kind", "grey"], "density"),
        (
            &["calibrate", "--bites", &bites, "--photo", "none.png", "--corners", "1,2"],
            "eight numbers",
        ),
    ] {
        let said = refused(arguments);
        assert!(said.contains(part), "{arguments:?} said: {said}");
    }
}

/// The plan's own values serve as steps; a bite's minutes and the cover are found beside the constants when that is asked.
#[test]
fn a_proof_already_pulled_is_read() {
    let table = json(&["table", "--form", "json"]);
    let values = table["values"].as_array().expect("values");
    let l: Vec<String> = values[1..].iter().map(|value| value["lightness"].to_string()).collect();
    let l = l.join(",");
    let told = json(&["calibrate", "--proof", "--readings", &l]);
    for one in told["fit"]["constants"].as_array().expect("constants") {
        let of = |key: &str| one[key].as_f64().expect("a number");
        assert!(of("low") < of("in_force") && of("in_force") < of("high"), "{one}");
    }
    assert!(told["misfit"]["planned"].as_f64().expect("a share") > 0.5, "{}", told["misfit"]);
    let loose = ["--loose-bites", "3", "--loose-ground"];
    let told = json(&[&["calibrate", "--proof", "--readings", &l][..], &loose].concat());
    let verdict = told["fit"]["verdict"].to_string();
    assert!(verdict.contains("The third bite is counted as"), "{verdict}");
    assert!(verdict.contains("The ground is counted as covering"), "{verdict}");
    let said = refused(&["calibrate", "--proof", "--bites", "1,2", "--readings", "80,70"]);
    assert!(said.contains("at least 5"), "{said}");
}

/// The print straight on, half a millimetre a pixel in both directions, in a picture file.
#[test]
fn a_picture_file_is_read() {
    let made = json(&["calibrate", "--steps", "6"]);
    let (bites, l) = (numbers(&made["bite_min"]), numbers(&made["expected_l"]));
    let on = &made["layout"];
    let size = |key: &str| on[key].as_f64().expect("mm");
    let (px, margin) = (4.0, 15.0);
    let width = ((size("width_mm") + 2.0 * margin) * px) as u32;
    let height = ((size("height_mm") + 2.0 * margin) * px) as u32;
    let code = |l: f64| {
        (plate::light::srgb(0.9 * plate::light::reflectance_of_lightness(l) / 0.85) * 255.0).round()
            as u8
    };
    let paper_l = plate::light::lightness(0.85);
    let picture = image::GrayImage::from_fn(width, height, |x, y| {
        let (x, y) = ((f64::from(x) + 0.5) / px - margin, (f64::from(y) + 0.5) / px - margin);
        let patches = on["patches"].as_array().expect("patches");
        let inside = patches.iter().position(|patch| {
            let of = |key: &str| patch[key].as_f64().expect("mm");
            (of("left_mm")..of("left_mm") + of("width_mm")).contains(&x)
                && (of("top_mm")..of("top_mm") + of("height_mm")).contains(&y)
        });
        image::Luma([code(inside.map_or(paper_l, |step| l[step]))])
    });
    let file = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("step-print.png");
    picture.save(&file).expect("the picture is written");
    let (left, top) = (margin * px, margin * px);
    let (right, under) = (left + size("width_mm") * px, top + size("height_mm") * px);
    let corners = format!("{left},{top},{right},{top},{right},{under},{left},{under}");
    let bites = bites.iter().map(f64::to_string).collect::<Vec<_>>().join(",");
    let file = file.to_str().expect("a name");
    let told = json(&["calibrate", "--bites", &bites, "--photo", file, "--corners", &corners]);
    for (read, l) in numbers(&told["read_l"]).iter().zip(&l) {
        assert!((read - l).abs() < 0.4, "L* {l} was read as {read}");
    }
    assert!(told["photo"]["uneven"].as_f64().expect("a share") < 0.01, "even light");
    // Two steps read otherwise serve as greys.
    assert_eq!(told["photo"]["camera"]["by"], "paper", "nothing is known yet");
    let patch = |key: &str, step: usize| on["patches"][step][key].as_f64().expect("mm");
    let middle = |step: usize| {
        let x = patch("left_mm", step) + 0.5 * patch("width_mm", step);
        let y = patch("top_mm", step) + 0.5 * patch("height_mm", step);
        format!("{},{},{}", (x + margin) * px, (y + margin) * px, l[step])
    };
    let greys = format!("{},{}", middle(2), middle(4));
    let photo = ["--photo", file, "--corners", &corners, "--greys", &greys];
    let told = json(&[&["calibrate", "--bites", &bites][..], &photo].concat());
    assert_eq!(told["photo"]["camera"]["by"], "scale", "two greys tell the curve");
    let ln_gamma = told["photo"]["camera"]["ln_gamma"].as_f64().expect("a number");
    assert!(ln_gamma.abs() < 0.02, "this camera bends nothing: {ln_gamma}");
    let mirrored = format!("{right},{top},{left},{top},{left},{under},{right},{under}");
    let said = refused(&["calibrate", "--bites", &bites, "--photo", file, "--corners", &mirrored]);
    assert!(said.contains("wrong way round"), "{said}");
}
