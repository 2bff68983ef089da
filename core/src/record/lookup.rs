//! Finding fields: by their kind, by their number.

use super::{
    contact_fields, field_work, office_work,
    registry::{Field, Kind, Type},
};

/// The fields of a kind, in order of their numbers.
pub fn fields_of(kind: Kind) -> &'static [Field] {
    match kind {
        Kind::Inquiry => contact_fields::INQUIRY,
        Kind::Contact => contact_fields::CONTACT,
        Kind::Site => contact_fields::SITE,
        Kind::SiteNote => contact_fields::SITE_NOTE,
        Kind::Plant => field_work::PLANT,
        Kind::Visit => field_work::VISIT,
        Kind::Finding => field_work::FINDING,
        Kind::Photo => field_work::PHOTO,
        Kind::Sample => field_work::SAMPLE,
        Kind::Custody => field_work::CUSTODY,
        Kind::Diagnosis => office_work::DIAGNOSIS,
        Kind::Advice => office_work::ADVICE,
        Kind::FollowUp => office_work::FOLLOW_UP,
        Kind::Review => office_work::REVIEW,
        Kind::Alert => office_work::ALERT,
        Kind::Hours => office_work::HOURS,
    }
}

/// The numbers of the fields that hold a photo's content address, as a list in words: `801, 802`.
pub(crate) fn blob_fields() -> String {
    let all = Kind::ALL.iter().flat_map(|kind| fields_of(*kind)).filter(|f| f.ty == Type::Blob);
    all.map(|f| f.id.to_string()).collect::<Vec<_>>().join(", ")
}

/// The field with this number. `None` for field 0, which every kind has, and for fields of newer versions.
pub fn field(id: u32) -> Option<&'static Field> {
    let fields = fields_of(Kind::from_id(id / 100)?);
    fields.binary_search_by_key(&id, |f| f.id).ok().map(|at| &fields[at])
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::record::{EXISTENCE, Privacy};

    #[test]
    fn numbers_are_unique_ordered_and_belong_to_their_kind() {
        for kind in Kind::ALL {
            let fields = fields_of(*kind);
            assert!(!fields.is_empty());
            assert!(fields.windows(2).all(|w| w[0].id < w[1].id), "{kind}");
            let names: BTreeSet<_> = fields.iter().map(|f| f.name).collect();
            assert_eq!(names.len(), fields.len(), "{kind}: a name stands twice");
            for f in fields {
                assert_eq!((f.id / 100, f.kind), (kind.id(), *kind), "{}", f.name);
                assert_eq!(field(f.id).map(|f| f.name), Some(f.name));
                if let Type::Group(parts) = f.ty {
                    assert!(parts.windows(2).all(|w| w[0].key < w[1].key), "{}", f.name);
                }
            }
        }
        assert!(field(EXISTENCE).is_none() && field(199).is_none() && field(9901).is_none());
    }

    #[test]
    fn a_contact_and_an_address_are_never_public() {
        for f in fields_of(Kind::Contact) {
            assert_eq!(f.class, Privacy::Private, "{}", f.name);
        }
        for name in ["address", "point", "access"] {
            let f = fields_of(Kind::Site).iter().find(|f| f.name == name).unwrap();
            assert_eq!(f.class, Privacy::Private, "{name}");
        }
        assert!(fields_of(Kind::Alert).iter().all(|f| f.class == Privacy::Sealed));
    }
}
