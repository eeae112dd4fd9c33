//! Prints peak, gel and hardening of slabs laid at once as comma-separated rows, for comparison
//! with another solver: 3, 6 and 12 mm at 20 °C and 2 %, 8 W/(m² K) at both faces.

use plymend::shop::cure::{Kinetics, Resin};
use plymend::shop::gel_time::GelClock;
use plymend::shop::slab::material::Mixture;
use plymend::shop::slab::{Faces, Fineness, Layer, Slab};
use std::io::{self, BufWriter, Write};

const AIR_C: f64 = 20.0;
const DAY_MIN: f64 = 1440.0;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = BufWriter::new(io::stdout().lock());
    writeln!(out, "thickness_mm,what,value")?;
    let resin = Resin {
        clock: GelClock::GENERAL_PURPOSE,
        kinetics: Kinetics::GENERAL_PURPOSE,
        percent: 2.0,
        stand_still_below_c: 12.0,
    };
    for thickness_mm in [3.0, 6.0, 12.0] {
        let faces = Faces { below_w_m2_k: 8.0, above_w_m2_k: 8.0 };
        let mut slab = Slab::new(resin, 320.0e3, faces)?;
        let mixture = Mixture::polyester(0.30)?;
        slab.lay(&Layer { thickness_mm, mixture, start_c: AIR_C, cells: 31 })?;
        let trace = slab.trace(&|_| AIR_C, DAY_MIN, &Fineness::USUAL)?;
        let figures = [
            ("peak_c", Some(trace.peak_c)),
            ("peak_min", Some(trace.peak_min)),
            ("gel_min", trace.gel_min),
            ("sandable_min", trace.sandable_min),
            ("conversion_day", trace.conversion_at_24_h),
        ];
        for (what, value) in figures {
            writeln!(out, "{thickness_mm},{what},{:.6}", value.unwrap_or(f64::NAN))?;
        }
        // The trace itself, about every ten minutes through the first four hours.
        let mut next_min = 10.0;
        for now in &trace.moments {
            if now.minute >= next_min && next_min <= 240.0 {
                writeln!(out, "{thickness_mm},mid_c at {:.6},{:.6}", now.minute, now.mid_c)?;
                next_min += 10.0;
            }
        }
    }
    out.flush()?;
    Ok(())
}
