//! The values of a price file.

use super::check_packs;
use super::faults::Faults;
use super::text::Loaded;
use crate::diagnostic::Diagnostic;
use crate::model::prices::PriceFile;

/// Most that one thing costs, in whole units of the currency (choice).
const MOST: f64 = 10_000_000.0;

/// Every fault of value in a price file.
pub(super) fn prices(file: &PriceFile, loaded: &Loaded) -> Vec<Diagnostic> {
    let mut faults = Faults::new(loaded);
    faults.name("currency", "the currency", &file.currency);
    faults.range("decimals", "decimals of money", f64::from(file.decimals), "", 0.0..=3.0);
    let tax = file.tax_percent.value();
    if faults.range("tax_percent", "tax", tax, "%", 0.0..=100.0) {
        decimals(&mut faults, "tax_percent", "tax", "%", tax, 3);
    }
    for (number, pack) in file.packs.iter().enumerate() {
        let at = |name: &str| format!("packs[{number}].{name}");
        check_packs::grade(&mut faults, &at("grade"), pack.ware, pack.grade);
        check_packs::amount(&mut faults, &at("amount"), pack.ware, pack.amount);
        check_packs::weight_said(&mut faults, &at("grade"), pack.ware, pack.grade);
        let what = format!("price of {}", pack.ware.named(pack.grade));
        money(&mut faults, file, &at("price"), &what, pack.price, 0.001);
        let same = file.packs.iter().take(number).any(|other| {
            other.ware == pack.ware
                && other.grade == pack.grade
                && (other.amount - pack.amount).abs() < 1e-9
        });
        if same {
            faults.add(
                &at("amount"),
                "READ-NAME-TWICE",
                format!(
                    "{what}: a pack of {} {} has two prices",
                    pack.amount,
                    pack.ware.unit().words()
                ),
                "each size of a ware once",
                "keep the price that holds",
            );
        }
    }
    if let Some(rate) = file.hourly_rate {
        money(&mut faults, file, "hourly_rate", "price of an hour", rate, 0.001);
    }
    for (number, one) in file.disposal.iter().enumerate() {
        let at = |name: &str| format!("disposal[{number}].{name}");
        let what = format!("price of handing over {}", one.class.words());
        money(&mut faults, file, &at("per_kg"), &what, one.per_kg, 0.0);
    }
    let classes: Vec<&str> = file.disposal.iter().map(|one| one.class.words()).collect();
    faults.unlike("class", &classes, |number| format!("disposal[{number}].class"));
    for (number, one) in file.access.iter().enumerate() {
        let at = |name: &str| format!("access[{number}].{name}");
        faults.name(&at("what"), "work of access", &one.what);
        if let Some(price) = one.price {
            let what = format!("price of {:?}", one.what);
            money(&mut faults, file, &at("price"), &what, price, 0.0);
        }
        let what = format!("hours of {:?}", one.what);
        faults.range_if(&at("hours"), &what, one.hours, "h", 0.0..=1000.0);
        if let Some(panel) = &one.panel {
            faults.name(&at("panel"), "a panel", panel);
        }
    }
    if let Some(seized) = &file.seized {
        if let Some(price) = seized.price {
            money(&mut faults, file, "seized.price", "price of a seized fixing", price, 0.0);
        }
        faults.range_if(
            "seized.hours",
            "hours at a seized fixing",
            seized.hours,
            "h",
            0.0..=1000.0,
        );
    }
    for (number, one) in file.replacements.iter().enumerate() {
        let at = |name: &str| format!("replacements[{number}].{name}");
        faults.name(&at("panel"), "a panel", &one.panel);
        if let Some(price) = one.price {
            let what = format!("price of a new {}", one.panel);
            money(&mut faults, file, &at("price"), &what, price, 0.001);
        }
        let what = format!("hours to fit a new {}", one.panel);
        faults.range_if(&at("fit_hours"), &what, one.fit_hours, "h", 0.1..=1000.0);
    }
    let replaced: Vec<&str> = file.replacements.iter().map(|one| one.panel.as_str()).collect();
    faults.unlike("panel", &replaced, |number| format!("replacements[{number}].panel"));
    let names: Vec<&str> = file.access.iter().map(|one| one.what.as_str()).collect();
    faults.unlike("work", &names, |number| format!("access[{number}].what"));
    for (number, one) in file.provisional.iter().enumerate() {
        let at = |name: &str| format!("provisional[{number}].{name}");
        faults.name(&at("what"), "a provisional sum", &one.what);
        money(&mut faults, file, &at("sum"), "provisional sum", one.sum, 0.001);
    }
    let marks: Vec<u32> = file.provisional.iter().map(|one| one.mark).collect();
    faults.unlike("mark", &marks, |number| format!("provisional[{number}].mark"));
    quote(file, &mut faults);
    check_packs::on_shelf(&mut faults, &file.on_shelf);
    faults.into_found()
}

fn quote(file: &PriceFile, faults: &mut Faults<'_>) {
    let quote = &file.quote;
    let shares = [
        ("quote.contingency_percent", "contingency", quote.contingency_percent),
        ("quote.stop_and_call_percent", "limit of stop and call", quote.stop_and_call_percent),
    ];
    for (field, what, share) in shares {
        if let Some(share) = share.map(|share| share.value())
            && faults.range(field, what, share, "%", 0.0..=200.0)
        {
            decimals(faults, field, what, "%", share, 3);
        }
    }
    let days = quote.expires_days.map(f64::from);
    faults.range_if("quote.expires_days", "days until it runs out", days, "days", 1.0..=730.0);
}

/// Money has to lie within reason and to have no more decimals than the currency.
fn money(
    faults: &mut Faults<'_>,
    file: &PriceFile,
    field: &str,
    what: &str,
    found: f64,
    least: f64,
) {
    if found.is_finite() && found <= 0.0 && least > 0.0 {
        faults.add(
            field,
            "READ-RANGE",
            format!("{what}: found {found} {}", file.currency),
            format!("more than 0 and at most {MOST} {}", file.currency),
            "where the price is not known leave it out: it is then listed as not priced",
        );
    } else if faults.range(field, what, found, &file.currency, least..=MOST) {
        decimals(faults, field, what, &file.currency, found, file.decimals);
    }
}

fn decimals(
    faults: &mut Faults<'_>,
    field: &str,
    what: &str,
    unit: &str,
    found: f64,
    allowed: u32,
) {
    let scaled = found * f64::from(10_u32.saturating_pow(allowed.min(6)));
    if (scaled - scaled.round()).abs() > 1e-5 {
        faults.add(
            field,
            "READ-NUMBER",
            format!("{what}: found {found} {unit}"),
            format!("at most {allowed} decimals"),
            "round it, or change `decimals` where it is money",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::ron_file;

    fn faults(inner: &str) -> Vec<Diagnostic> {
        let text = format!("(format: 1, currency: \"pounds\", {inner})");
        let (file, loaded) = ron_file::parse::<PriceFile>("prices.ron", &text).unwrap();
        prices(&file, &loaded)
    }

    #[test]
    fn every_fault_names_field_value_unit_and_what_is_accepted() {
        let head = "tax_percent: 20, prices_include_tax: true, ";
        let cases = [
            ("tax_percent: 120, prices_include_tax: true", "tax_percent", "READ-RANGE", "120 %"),
            ("tax_percent: NaN, prices_include_tax: true", "tax_percent", "READ-NUMBER", "NaN"),
            (
                "packs: [(ware: mat, grade: 450, amount: 1, price: 0)]",
                "packs[0].price",
                "READ-RANGE",
                "0 pounds",
            ),
            (
                "packs: [(ware: mat, grade: 450, amount: 1, price: -2)]",
                "packs[0].price",
                "READ-RANGE",
                "-2 pounds",
            ),
            (
                "packs: [(ware: mat, grade: 450, amount: 1, price: 4.125)]",
                "packs[0].price",
                "READ-NUMBER",
                "4.125 pounds",
            ),
            (
                "packs: [(ware: gel_coat, grade: 450, amount: 1, price: 4)]",
                "packs[0].grade",
                "READ-CONTRADICTION",
                "450",
            ),
            (
                "packs: [(ware: gel_coat, amount: 0, price: 4)]",
                "packs[0].amount",
                "READ-RANGE",
                "0 kg",
            ),
            (
                "packs: [(ware: gel_coat, amount: 1, price: 4), (ware: gel_coat, amount: 1, price: 5)]",
                "packs[1].amount",
                "READ-NAME-TWICE",
                "1 kg",
            ),
            (
                "provisional: [(mark: 4, what: \"hinge\", sum: 0)]",
                "provisional[0].sum",
                "READ-RANGE",
                "0 pounds",
            ),
            (
                "provisional: [(mark: 4, what: \"a\", sum: 1), (mark: 4, what: \"b\", sum: 2)]",
                "provisional[1].mark",
                "READ-NAME-TWICE",
                "mark 4",
            ),
            ("hourly_rate: 0", "hourly_rate", "READ-RANGE", "0 pounds"),
            (
                "disposal: [(class: solvent, per_kg: -1)]",
                "disposal[0].per_kg",
                "READ-RANGE",
                "-1 pounds",
            ),
            (
                "disposal: [(class: solvent, per_kg: 1), (class: solvent, per_kg: 1)]",
                "disposal[1].class",
                "READ-NAME-TWICE",
                "solvent",
            ),
            ("access: [(what: \" \")]", "access[0].what", "READ-NAME-EMPTY", "empty"),
            ("access: [(what: \"a\", hours: -1)]", "access[0].hours", "READ-RANGE", "-1 h"),
            ("seized: (price: -4)", "seized.price", "READ-RANGE", "-4 pounds"),
            (
                "replacements: [(panel: \"lid\", price: 0)]",
                "replacements[0].price",
                "READ-RANGE",
                "0 pounds",
            ),
            (
                "replacements: [(panel: \"lid\"), (panel: \"lid\", fit_hours: 2)]",
                "replacements[1].panel",
                "READ-NAME-TWICE",
                "lid",
            ),
            ("quote: (expires_days: 0)", "quote.expires_days", "READ-RANGE", "0 days"),
            ("quote: (contingency_percent: -5)", "quote.contingency_percent", "READ-RANGE", "-5 %"),
            ("decimals: 7", "decimals", "READ-RANGE", "7"),
            (
                "packs: [(ware: mat, amount: 1, price: 4)]",
                "packs[0].grade",
                "READ-FIELD-MISSING",
                "weight",
            ),
            (
                "on_shelf: [(ware: mat, amount: 2)]",
                "on_shelf[0].grade",
                "READ-FIELD-MISSING",
                "weight",
            ),
            ("on_shelf: [(ware: acetone, amount: -2)]", "on_shelf[0].amount", "READ-RANGE", "-2 l"),
        ];
        assert_eq!(faults(head), []);
        for (inner, field, code, problem) in cases {
            let text = if inner.contains("tax_percent") {
                inner.to_owned()
            } else {
                format!("{head}{inner}")
            };
            let found = faults(&text);
            assert_eq!(found.len(), 1, "{inner}: {found:#?}");
            let fault = &found[0];
            assert_eq!((fault.field.as_str(), fault.code), (field, code), "{fault}");
            assert!(fault.problem.contains(problem), "{fault}");
            assert!(!fault.accepted.is_empty() && !fault.way_out.is_empty(), "{fault}");
        }
    }

    #[test]
    fn an_unknown_price_is_left_out_and_no_fault() {
        let head = "tax_percent: 0, prices_include_tax: false, ";
        assert_eq!(faults(&format!("{head}access: [(what: \"take the gate off\")]")), []);
        let text = format!("{head}packs: [(ware: gel_coat, amount: 1)]");
        let text = format!("(format: 1, currency: \"pounds\", {text})");
        let fault = ron_file::parse::<PriceFile>("prices.ron", &text).unwrap_err();
        assert_eq!(fault.code, "READ-FIELD-MISSING");
    }
}
