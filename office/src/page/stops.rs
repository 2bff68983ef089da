//! Stops: what each is called in a few words, and what it says where the pack has no words for it.

use super::words::spaced;

/// Ids of the rules that everything here follows, with heading and words. A pack's own words go before these.
const KNOWN: [(&str, &str, &str); 14] = [
    ("tree_failure", "a tree or limb may fall", "Keep away. A qualified or licensed arborist must inspect on site."),
    (
        "utility_line",
        "a wire is near",
        "Stay 10 ft away, or more if told. Call the electric utility. Never touch or prune.",
    ),
    (
        "wild_mushroom",
        "something wild, eaten or meant to be",
        "Nobody here says whether it can be eaten. If somebody ate of it: call poison control, emergency services or a \
         veterinarian now.",
    ),
    (
        "toxic_plant",
        "a plant may be poisonous",
        "If a person or an animal ate of it: call poison control, emergency services or a veterinarian now. Keep children \
         and animals away.",
    ),
    ("not_a_doctor", "no medical advice from here", "Nobody here gives medical, veterinary or legal advice."),
    (
        "food_contaminated",
        "spray may be on food",
        "Do not eat or use it until the product label and the state pesticide office have answered.",
    ),
    ("insects_bites", "stinging insects", "Step back. Do not probe or spray. Note the place from a distance."),
    (
        "no_blame",
        "a spray is in question",
        "Describe what is seen; name nobody. A complaint goes to the state pesticide office, often within a short deadline.",
    ),
    (
        "no_off_label",
        "a use that no label gives",
        "No use, rate, mix or interval is stored or printed that was not typed from a label. The label is the law.",
    ),
    (
        "no_home_brew",
        "a home mixture",
        "Household materials are no legal recommendation against weeds or pests. Offer pulling, mulching, mowing, hoeing.",
    ),
    ("restricted_use", "only for a licensed applicator", "A licensed or certified applicator has to do this."),
    (
        "dig_first",
        "call before digging",
        "Call 811 or the state one-call center 2 to 3 working days before any digging beyond a hand trowel.",
    ),
    (
        "permission",
        "no permission to be there",
        "A written or recorded yes comes first. Leave when asked; no locked or posted ground; nobody alone behind a gate.",
    ),
    ("minors", "a child", "Keep no contact, photo or place of anyone under 18 without a guardian's word."),
];

/// The stops of a record, each once, under the ids used everywhere: two have an older name in some packs.
pub fn plain_ids(ids: Vec<&str>) -> Vec<&str> {
    let mut plain: Vec<&str> = Vec::new();
    for id in ids {
        let id = match id {
            "pesticide_advice" => "no_blame",
            "stinging_insects" => "insects_bites",
            other => other,
        };
        if !plain.contains(&id) {
            plain.push(id);
        }
    }
    plain
}

/// The heading of a stop: `Stop: a wire is near`.
pub fn stop_head(id: &str) -> String {
    KNOWN
        .iter()
        .find(|(known, ..)| *known == id)
        .map_or_else(|| format!("Stop: {}", spaced(id)), |(_, head, _)| format!("Stop: {head}"))
}

/// What a stop says where the pack has no words for it.
pub fn stop_words(id: &str) -> &'static str {
    KNOWN.iter().find(|(known, ..)| *known == id).map_or(
        "The pack here has no words for this stop. Treat it as a stop all the same, and ask the educator.",
        |(.., words)| words,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_older_name_is_the_same_stop() {
        assert_eq!(plain_ids(vec!["no_blame", "pesticide_advice", "minors"]), ["no_blame", "minors"]);
    }

    #[test]
    fn a_stop_of_a_newer_pack_stays_a_stop() {
        assert_eq!(stop_head("a_new_one"), "Stop: a new one");
        assert!(stop_words("a_new_one").contains("ask the educator"));
        assert_eq!(stop_head("utility_line"), "Stop: a wire is near");
    }

    #[test]
    fn every_stop_of_the_starter_pack_that_may_be_shown_has_a_heading() {
        let pack = crate::pack::starter().unwrap();
        for stop in pack.stops.iter().filter(|s| s.id != crate::ledger::REGULATED) {
            assert!(KNOWN.iter().any(|(id, ..)| *id == stop.id), "{}", stop.id);
        }
    }
}
