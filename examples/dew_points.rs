//! Prints dew points over a grid of air temperature and humidity as comma-separated rows, for
//! comparison with another library.

use plymend::dew_point::dew_point_c;
use std::io::{self, BufWriter, Write};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = BufWriter::new(io::stdout().lock());
    writeln!(out, "t_c,rh,dew_point_c")?;
    for step in 0..25 {
        let t_c = 10.0 + f64::from(step) * 1.25;
        for step in 0..20 {
            let rh = 30.0 + f64::from(step) * 3.5;
            writeln!(out, "{t_c},{rh},{:.6}", dew_point_c(t_c, rh)?)?;
        }
    }
    out.flush()?;
    Ok(())
}
