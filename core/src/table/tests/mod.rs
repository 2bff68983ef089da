//! Tests of the learned pack.

mod brute;
mod hostile;
mod soybean;

use super::{Schema, Table};

/// A small schema: two attributes that go together, one that does not, two classes.
fn weather() -> Schema {
    Schema::from_json(
        r#"{"attributes": {"sky": ["clear", "gray", "dark"], "ground": ["dry", "wet"], "wind": ["still", "strong"]},
            "classes": ["calm", "storm"]}"#,
    )
    .unwrap()
}

const CASES: &str = "\
id,sky,ground,wind,kind
a,clear,dry,still,calm
b,clear,dry,strong,calm
c,gray,wet,still,calm
d,gray,wet,,calm
e,clear,dry,still,calm
f,gray,wet,strong,calm
g,dark,wet,strong,storm
h,dark,wet,strong,storm
i,gray,dry,strong,storm
j,,wet,strong,storm
k,gray,dry,?,storm
";

fn small() -> Table {
    Table::to_learn(CASES, "kind", &weather()).unwrap()
}
