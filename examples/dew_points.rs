//! Prints dew points over a grid of air temperature and humidity as comma-separated rows, for
//! comparison with another library.

use plymend::dew_point::dew_point_c;
use std::io::{self, BufWriter, Write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = BufWriter::new(io::stdout().lock());
    writeln!(out, "t_c,rh,dew_point_c")?;
    for half_steps in 4..=14 {
        let t_c = f64::from(half_steps) * 2.5;
        for fives in 6..=19 {
            let rh = f64::from(fives) * 5.0;
            writeln!(out, "{t_c},{rh},{:.6}", dew_point_c(t_c, rh)?)?;
        }
    }
    out.flush()?;
    Ok(())
}
