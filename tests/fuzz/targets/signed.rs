//! What is signed, behind a signature that holds: envelope, statement, receipt, card, request. And the texts of enrolment, which a
//! camera reads off any paper. The first byte says which.
#![no_main]

use dooryard_core::{
    bundle::{Envelope, Receipt},
    enrol::{Answer, Ask, Invitation},
    ids::OfficeId,
    log::Statement,
    notebook::{Card, Request, read_answer, write_answer},
    sign::{Purpose, Signing},
};

const OFFICE: OfficeId = OfficeId([1; 16]);

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((which, bytes)) = bytes.split_first() else { return };
    // Where the signer stands in what is signed, it is this one's public key: the corpus holds it.
    let key = Signing::from_seed(&[1; 32]);
    let signed = |purpose| key.sign(purpose, &OFFICE, bytes);
    let text = || std::str::from_utf8(bytes).unwrap_or_default();
    match which % 9 {
        0 => {
            if let Ok(envelope) = Envelope::verify(&signed(Purpose::Envelope), &OFFICE, &key.public()) {
                let again = envelope.sign(&key);
                assert_eq!(Envelope::verify(&again, &OFFICE, &key.public()).expect("an envelope"), envelope);
            }
        }
        1 => {
            if let Ok(statement) = Statement::verify(&signed(Purpose::Statement), &OFFICE, &key.public()) {
                let (again, _) = statement.sign(&key, &OFFICE);
                assert_eq!(Statement::verify(&again, &OFFICE, &key.public()).expect("a statement"), statement);
            }
        }
        2 => {
            if let Ok(receipt) = Receipt::verify(&signed(Purpose::Receipt), &OFFICE, &key.public()) {
                let again = receipt.sign(&key, &OFFICE);
                assert_eq!(Receipt::verify(&again, &OFFICE, &key.public()).expect("a receipt"), receipt);
            }
        }
        3 => {
            let signed = key.sign(Purpose::Card, &OfficeId::of_key(&key.public()), bytes);
            if let Ok(card) = Card::read(&signed) {
                assert_eq!(card.root, key.public(), "a card of another office");
                assert_eq!(Card::read(&card.sign(&key)).expect("a card"), card);
            }
        }
        4 => {
            let signed = key.sign(Purpose::Request, &OfficeId([0; 16]), bytes);
            if let Ok(request) = Request::read(&signed) {
                assert_eq!(request.key, key.public(), "a request of another device");
            }
        }
        5 => {
            if let Ok(invitation) = Invitation::from_text(text()) {
                let again = invitation.to_text().expect("an invitation that was read");
                assert_eq!(Invitation::from_text(&again).expect("an invitation"), invitation);
            }
        }
        6 => {
            if let Ok(ask) = Ask::from_bytes(bytes) {
                assert_eq!(ask.to_bytes().expect("an ask that was read"), bytes, "a second form of one ask");
            }
        }
        7 => {
            if let Ok(answer) = Answer::from_text(text()) {
                assert_eq!(Answer::from_text(&answer.to_text()).expect("an answer"), answer);
            }
        }
        _ => {
            if let Ok((card, statements)) = read_answer(bytes) {
                assert_eq!(write_answer(&card, &statements), bytes, "a second form of one answer");
            }
        }
    }
});
