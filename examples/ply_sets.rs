//! Which mats make up which thickness, and how stiff the repair is against the skin it sits in:
//! for skins of 2.0 to 5.0 mm, with and without the usual backing, and with the set of the US Army
//! table (TM 5-3820-256-24-5 p 616) as a backing for work that is not tapered in front.
//!
//! `cargo run --example ply_sets`

#![allow(clippy::print_stdout, reason = "an example prints its table")]

use plymend::model::stock::Stock;
use plymend::read::built_in;
use plymend::repair::laminate::{Laminate, Ply, Reinforcement, laid_ply};
use plymend::repair::parent_match::{ratios, stock_ply};
use plymend::repair::plies::{Shelf, army_set, ply_set};
use plymend::rules::{Book, id};

fn main() -> Result<(), String> {
    let stock: Stock = ron::from_str(built_in::STOCK).map_err(|why| why.to_string())?;
    let (book, shelf) = (Book::built_in(), Shelf::pick(&stock, false)?);
    println!(
        "skin mm  mats laid, g/m2        mm     thick  plane  backing  bend   army table      mm    bend"
    );
    for skin_mm in [2.0, 2.2, 2.5, 3.0, 3.2, 3.5, 4.0, 4.5, 5.0] {
        let set = ply_set(&shelf, skin_mm, &book);
        let laid: Vec<Ply> = set.iter().map(|mat| stock_ply(mat, &shelf)).collect();
        let of = |weight_kg_m2: f64| {
            laid_ply(Reinforcement::Mat, weight_kg_m2, 1.0 / 3.5, shelf.resin.density_g_cm3)
        };
        let one = of(1.0);
        let parent = [Ply { thickness_mm: skin_mm, ..one }];
        let weight = if skin_mm < book.figure(id::BACKING_THIN) { 300.0 } else { 450.0 };
        let backing: Vec<(Ply, f64)> =
            shelf.nearest(weight).map(|mat| (stock_ply(mat, &shelf), 50.0)).into_iter().collect();
        let found = ratios(&parent, skin_mm, &laid, &backing).ok_or("no plies")?;
        let army: Vec<Ply> = army_set(skin_mm).iter().map(|weight| of(weight / 1000.0)).collect();
        let army_mm: f64 = army.iter().map(|ply| ply.thickness_mm).sum();
        let bend =
            |plies: &[Ply]| Laminate::of(plies).free_bending().map_or(0.0, |bending| bending.m11);
        let stacked: Vec<Ply> = parent.iter().chain(&army).copied().collect();
        let names: Vec<String> =
            set.iter().map(|mat| format!("{:.0}", mat.weight_g_m2.value())).collect();
        let laid_mm: f64 = laid.iter().map(|ply| ply.thickness_mm).sum();
        let table: Vec<String> = army_set(skin_mm).iter().map(|one| format!("{one:.0}")).collect();
        println!(
            "{skin_mm:<8.1} {:<22} {laid_mm:<6.2} {:<6.2} {:<6.2} {weight:<8.0} {:<6.2} {:<15} {army_mm:<5.2} {:.2}",
            names.join(" + "),
            found.thickness,
            found.membrane,
            found.bending.unwrap_or(1.0),
            table.join(" + "),
            bend(&stacked) / bend(&parent),
        );
    }
    Ok(())
}
