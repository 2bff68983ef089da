//! The stops of a record.

use dooryard_core::key::stop_id;

/// The stops of a record, each once, under the ids used today.
pub fn plain_ids(ids: Vec<&str>) -> Vec<&str> {
    let mut plain: Vec<&str> = Vec::new();
    for id in ids.into_iter().map(stop_id) {
        if !plain.contains(&id) {
            plain.push(id);
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::Names;

    #[test]
    fn an_older_name_is_the_same_stop() {
        assert_eq!(plain_ids(vec!["no_blame", "pesticide_advice", "minors"]), ["no_blame", "minors"]);
    }

    #[test]
    fn a_stop_of_a_newer_pack_stays_a_stop() {
        let names = Names::of(&crate::pack::starter().unwrap());
        assert_eq!(names.stop_head("a_new_one"), "Stop: a new one");
        assert!(names.stop_text("a_new_one").contains("ask the educator"));
        assert!(names.stop_text("stinging_insects").contains("tep"));
    }
}
