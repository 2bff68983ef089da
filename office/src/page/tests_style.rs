//! The style sheets of the page's parts are served as one: no part may say how another's looks.

use std::collections::{BTreeMap, BTreeSet};

/// What each part needs beyond the common look.
const PARTS: [(&str, &str); 7] = [
    ("desk", include_str!("../../web/desk.css")),
    ("inquiry", include_str!("../../web/inquiry.css")),
    ("list", include_str!("../../web/list.css")),
    ("map", include_str!("../../web/map.css")),
    ("review", include_str!("../../web/review.css")),
    ("season", include_str!("../../web/season.css")),
    ("take-in", include_str!("../../web/take-in.css")),
];
const COMMON: [&str; 2] = [include_str!("../../web/dooryard.css"), include_str!("../../web/page.css")];

/// The classes with which selectors of a sheet begin.
fn classes(sheet: &str) -> BTreeSet<&str> {
    let selectors = sheet.split('{').filter_map(|before| before.rsplit(['}', ';', '/']).next());
    let one =
        selectors.flat_map(|selectors| selectors.split(',')).filter_map(|selector| selector.trim().strip_prefix('.'));
    one.filter_map(|rest| rest.split(|c: char| !c.is_alphanumeric() && c != '-').next()).collect()
}

#[test]
fn no_two_parts_say_how_one_class_looks() {
    let common: BTreeSet<&str> = COMMON.iter().flat_map(|sheet| classes(sheet)).collect();
    let mut owner: BTreeMap<&str, &str> = BTreeMap::new();
    for (part, sheet) in PARTS {
        for class in classes(sheet).into_iter().filter(|class| !common.contains(class)) {
            let other = owner.insert(class, part);
            assert!(other.is_none(), ".{class} is in {part} and in {other:?}");
        }
    }
    assert!(owner.len() > 50, "only {} classes were found", owner.len());
}
