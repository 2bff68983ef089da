//! An office, its devices and its records, all from fixed seeds.

use dooryard_core::{
    ids::{DeviceId, Hash32, OfficeId, RecordId},
    log::{Authority, Body, Cert, Statement},
    notebook::{Card, Request, seal_identity, write_answer},
    record::{Kind, Role, Type, Value, field},
    sign::Signing,
};
use dooryard_tests::MAY_1;

/// The phones' first roles. The last one is on paper: it writes before the office has certified it.
pub const PHONES: [Option<Role>; 4] = [Some(Role::Scout), Some(Role::Lead), Some(Role::Educator), None];

/// The records that histories are about, with the fields written of them. All are texts that everybody may write, but for the
/// status of the first inquiry (110), which is a word and the office's; and the hand-over at the end is written once.
pub const RECORDS: [(Kind, [u32; 3]); 4] = [
    (Kind::Inquiry, [103, 105, 110]),
    (Kind::Inquiry, [103, 105, 115]),
    (Kind::Plant, [503, 504, 510]),
    (Kind::Custody, [1002, 1003, 1005]),
];

/// The id of a record of that list.
pub fn record(n: usize) -> RecordId {
    RecordId::new(MAY_1, [n as u8; 10])
}

/// The `n`-th value of a field. Texts are all different.
pub fn value(of: u32, n: usize) -> Value {
    match field(of).map(|f| f.ty) {
        Some(Type::Word(words)) => Value::Int((n % words.len()) as i64),
        _ => Value::Text(format!("words {n}")),
    }
}

/// The key of a phone.
fn phone(n: usize) -> Signing {
    Signing::from_seed(&[n as u8 + 10; 32])
}

/// A phone's id.
pub fn device(n: usize) -> DeviceId {
    phone(n).device()
}

/// What a certificate of a phone says.
pub fn cert(n: usize, role: Role, seq: u64) -> Body {
    Body::Cert(Cert { key: phone(n).public(), seal: "age1".into(), role, label: format!("Phone {n}"), seq })
}

/// The office, with what it has said.
#[derive(Clone)]
pub struct Office {
    key: Signing,
    card: Card,
    signed_card: Vec<u8>,
    /// Every statement, with its hash and as it was signed.
    pub said: Vec<(Statement, Hash32, Vec<u8>)>,
}

impl Office {
    /// A new office, which has certified first the notebook that asks for it, then the phones that are not on paper.
    pub fn new(request: &[u8]) -> Self {
        let (root, key) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
        let seal = seal_identity(&[3; 32]).unwrap().to_public().to_string();
        let card = Card {
            root: root.public(),
            key: key.public(),
            recovery: seal.clone(),
            seal,
            name: "Larkspur County".into(),
            serial: 1,
            former: Vec::new(),
        };
        let mut office = Self { key, signed_card: card.sign(&root), card, said: Vec::new() };
        let Request { key, seal } = Request::read(request).unwrap();
        office.say(Body::Cert(Cert { key, seal, role: Role::Office, label: "Office".into(), seq: 1 }));
        for (n, role) in PHONES.into_iter().enumerate() {
            if let Some(role) = role {
                office.say(cert(n, role, office.said.len() as u64 + 1));
            }
        }
        office
    }

    /// What it hands to the notebook that asked: its card and the first certificate.
    pub fn answer(&self) -> Vec<u8> {
        write_answer(&self.signed_card, &[self.said[0].2.clone()])
    }

    /// Says something more.
    pub fn say(&mut self, body: Body) {
        let prev = self.said.last().map_or(Hash32::ZERO, |(_, hash, _)| *hash);
        let said = Statement { seq: self.said.len() as u64 + 1, prev, body };
        let (signed, hash) = said.sign(&self.key, &self.id());
        self.said.push((said, hash, signed));
    }

    /// Its id.
    pub fn id(&self) -> OfficeId {
        self.card.office()
    }

    /// Its log, with nothing in it yet.
    pub fn authority(&self) -> Authority {
        Authority::new(self.id(), self.card.key)
    }
}
