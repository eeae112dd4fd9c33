//! How long the shop takes: one run of 24 h through the thickness of a laminate, and the timetable of
//! the example job. `cargo run --release --example shop_timing`; the least of several runs counts.
#![allow(clippy::disallowed_methods, reason = "it measures time, and nothing else comes of it")]

use std::error::Error;
use std::io::Write;
use std::path::PathBuf;
use std::time::Instant;

use plymend::read::job::{self, Named, TextFolder};
use plymend::shop::cure::{Kinetics, Resin};
use plymend::shop::gel_time::GelClock;
use plymend::shop::slab::material::Mixture;
use plymend::shop::slab::{Faces, Fineness, Layer, Slab};
use plymend::shop::timetable::{self, Scene, Timing};
use plymend::shop::{laid_on, plan};

fn least_ms(
    times: u32,
    mut work: impl FnMut() -> Result<(), Box<dyn Error>>,
) -> Result<f64, Box<dyn Error>> {
    let mut least = f64::INFINITY;
    for _ in 0..times {
        let start = Instant::now();
        work()?;
        least = least.min(start.elapsed().as_secs_f64() * 1000.0);
    }
    Ok(least)
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut out = std::io::stdout().lock();
    let resin = Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: 2.0,
        stand_still_below_c: 12.0,
    };
    for thickness_mm in [3.0, 6.0, 12.0] {
        let ms = least_ms(5, || {
            let faces = Faces { below_w_m2_k: 8.0, above_w_m2_k: 8.0 };
            let mut slab = Slab::new(resin, 320.0e3, faces)?;
            let mixture = Mixture::polyester(0.30)?;
            slab.lay(&Layer { thickness_mm, mixture, start_c: 20.0, cells: 31 })?;
            slab.trace(&|_| 20.0, 1440.0, &Fineness::USUAL)?;
            Ok(())
        })?;
        writeln!(out, "24 h through {thickness_mm} mm, 31 cells: {ms:.1} ms")?;
    }
    let folder = PathBuf::from("examples/harbour-shuttle");
    let mut texts = TextFolder::from([]);
    for entry in std::fs::read_dir(&folder)? {
        let path = entry?.path();
        if let Some(name) = path.file_name().and_then(|name| name.to_str())
            && path.is_file()
        {
            texts.put(name, &std::fs::read_to_string(&path)?);
        }
    }
    for name in ["photos/mark-1.jpg", "photos/vehicle.jpg"] {
        texts.put_bytes(name, std::fs::read(folder.join(name))?);
    }
    for shop in ["shop.ron", "shop-shed.ron"] {
        let named = Named { shop: Some(shop.to_owned()), ..Named::default() };
        let job =
            job::job(&texts, "survey-a.ron", &named).map_err(|faults| faults.len().to_string())?;
        let panels = plymend::skins(&job).map_err(|faults| faults.len().to_string())?;
        let answer = plymend::work(&job, &panels).map_err(|faults| faults.len().to_string())?;
        // Every repair free: the largest timetable this job can have.
        let timing = vec![Timing::Free; answer.plan.repairs.len()];
        let scene = Scene {
            job: &job,
            panels: &panels,
            findings: &answer.findings,
            plan: &answer.plan,
            hours: &answer.hours,
        };
        let at = |warm_c: f64| {
            let on = laid_on::of_repairs(&answer.plan, &answer.findings);
            let place = answer.shop.place.warmed(warm_c);
            let (doses, materials) = (answer.shop.doses, &answer.materials);
            plan::plan(&job.book, &job.stock, place, doses, materials, &on)
        };
        let ms = least_ms(3, || {
            timetable::of_job(&scene, &answer.shop, &timing, &at)?;
            Ok(())
        })?;
        let on = laid_on::of_repairs(&answer.plan, &answer.findings);
        let shop_ms = least_ms(3, || {
            let climate = job.climate.as_ref();
            let place = plan::place(&job.book, job.shop.as_ref(), climate, &job.survey);
            plan::plan(&job.book, &job.stock, place, answer.shop.doses, &answer.materials, &on)?;
            Ok(())
        })?;
        writeln!(
            out,
            "{shop}: shop with stages {shop_ms:.0} ms; timetable of {} repairs with what warmth would save {ms:.0} ms",
            timing.len()
        )?;
    }
    Ok(())
}
