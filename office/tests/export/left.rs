//! Files that `tests/readers` opens with readers that are not ours.

use std::{fs, path::Path};

use dooryard_office::export::{Audience, By, Licence, Written, outlines, write_darwin, write_map, write_xlsx};

use crate::yard::{County, all_for};

#[test]
fn one_of_each_export_is_left_for_other_readers() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("exports");
    fs::create_dir_all(&folder).unwrap();
    let county = County::new();
    let outline = county.yard.file("outline.geojson");
    fs::write(&outline, dooryard_fixtures::places::OUTLINE).unwrap();
    let townships = By::Township(outlines(&outline).unwrap());
    let pack = dooryard_office::pack::load(None).unwrap();
    let public = all_for(Audience::Public);
    let leave = |name: &str, written: Written| {
        fs::copy(county.yard.file(name), folder.join(name)).unwrap();
        let about = Path::new(name).with_extension("about.json");
        fs::write(folder.join(about), written.about.to_string()).unwrap();
        assert_eq!(fs::metadata(folder.join(name)).unwrap().len(), written.bytes, "{name}");
    };
    let archive =
        county.export("archive.zip", &public, |s, out| write_darwin(s, &pack, out, Licence::CcBy, true).unwrap());
    leave("archive.zip", archive);
    leave("tables.xlsx", county.export("tables.xlsx", &public, |s, out| write_xlsx(s, out).unwrap()));
    leave("cells.geojson", county.export("cells.geojson", &public, |s, out| write_map(s, out, &By::Cell).unwrap()));
    leave(
        "townships.geojson",
        county.export("townships.geojson", &public, |s, out| write_map(s, out, &townships).unwrap()),
    );
}
