//! Signing in, accounts, recovery codes and the audit, asked as a browser asks.

use axum::http::StatusCode;

use super::{
    asks::{get, post},
    sample_county::{County, PASSWORD, county},
};
use crate::people::Role;

const NEW: &str = "another good password";

fn sign_in(county: &County, name: &str, password: &str) -> super::asks::Answer {
    post("/sign-in", &[("name", name), ("password", password), ("next", "/phones")]).send(county)
}

/// The audit's acts, newest first: (who, act, about).
fn acts(county: &County) -> Vec<(String, String, String)> {
    let rows = county.people.audit(None).unwrap().into_iter();
    rows.map(|r| (r.who.unwrap_or_default(), r.act, r.about.unwrap_or_default())).collect()
}

#[test]
fn signing_in_gives_a_cookie_that_no_script_reads_and_leads_back() {
    let county = county();
    let asked = get("/inquiries?q=oak").send(&county);
    assert_eq!(asked.header("location"), "/sign-in?next=%2Finquiries%3Fq%3Doak");
    let form = get(asked.header("location")).send(&county).text();
    assert!(form.contains(r#"name="next" value="/inquiries?q=oak""#), "{form}");
    let answer = sign_in(&county, "reader", PASSWORD);
    assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/phones"));
    let cookie = answer.header("set-cookie");
    for part in ["; HttpOnly", "; SameSite=Lax", "; Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Domain") && !cookie.contains("Expires") && !cookie.contains("Max-Age"), "{cookie}");
    let token = answer.new_session().unwrap();
    assert_eq!(token.len(), 64);
    let page = get("/phones").cookie(&county, &token).send(&county);
    assert!(page.status == StatusCode::OK && page.text().contains(">reader</a>, reader"));
    let again = sign_in(&county, "reader", PASSWORD).new_session().unwrap();
    assert_ne!(token, again);
}

#[test]
fn a_token_that_was_there_before_is_not_the_one_that_is_signed_in() {
    let county = county();
    let planted = "ab".repeat(32);
    let fields = [("name", "reader"), ("password", PASSWORD)];
    let answer = post("/sign-in", &fields).cookie(&county, &planted).send(&county);
    assert_ne!(answer.new_session().unwrap(), planted);
    assert_eq!(get("/phones").cookie(&county, &planted).send(&county).status, StatusCode::SEE_OTHER);
}

#[test]
fn a_wrong_password_and_an_unknown_name_are_answered_alike() {
    let county = county();
    let wrong = sign_in(&county, "reader", "not the password");
    let unknown = sign_in(&county, "nobody", "not the password");
    assert_eq!(wrong.status, StatusCode::FORBIDDEN);
    assert_eq!((wrong.status, &wrong.headers), (unknown.status, &unknown.headers));
    assert_eq!(wrong.text().replace("reader", ""), unknown.text().replace("nobody", ""));
    assert!(wrong.text().contains("Name or password is not right.") && !wrong.text().contains("not the password"));
    assert!(wrong.new_session().is_none());
}

#[test]
fn after_tries_that_went_wrong_one_waits_and_is_told_how_long() {
    let county = county();
    for _ in 0..3 {
        assert_eq!(sign_in(&county, "reader", "wrong").status, StatusCode::FORBIDDEN);
    }
    let answer = sign_in(&county, "reader", PASSWORD);
    assert_eq!((answer.status, answer.header("retry-after")), (StatusCode::TOO_MANY_REQUESTS, "1"));
    assert!(answer.text().contains("wait 1 second."), "{}", answer.text());
    county.clock.set(county.clock.now_ms() + 1000);
    assert_eq!(sign_in(&county, "reader", PASSWORD).status, StatusCode::SEE_OTHER);
}

#[test]
fn signing_out_ends_the_session_and_takes_the_cookie_back() {
    let county = county();
    let answer = post("/sign-out", &[]).signed_in(&county, Role::Reader).send(&county);
    assert!(answer.header("set-cookie").contains("Max-Age=0"));
    assert_eq!(get("/phones").signed_in(&county, Role::Reader).send(&county).status, StatusCode::SEE_OTHER);
    let other = sign_in(&county, "admin", PASSWORD).new_session().unwrap();
    post("/sign-out-everywhere", &[]).signed_in(&county, Role::Admin).send(&county);
    assert_eq!(get("/phones").cookie(&county, &other).send(&county).status, StatusCode::SEE_OTHER);
}

#[test]
fn an_invited_person_comes_in_by_the_link_and_gets_codes_to_print() {
    let county = county();
    let fields = [("name", "Lark <b>"), ("role", "scout lead")];
    let page = post("/people", &fields).signed_in(&county, Role::Admin).send(&county).text();
    let link = page.split('"').find(|part| part.starts_with("/welcome/")).unwrap().to_owned();
    assert!(page.contains("Lark &#60;b&#62;"), "{page}");
    assert!(get(&link).send(&county).text().contains("Lark &#60;b&#62;"));
    let differ = post(&link, &[("new", NEW), ("again", "other")]).send(&county);
    assert_eq!(differ.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(differ.text().contains("The two passwords are not the same."));
    let short = post(&link, &[("new", "short"), ("again", "short")]).send(&county);
    assert!(short.text().contains("12 characters or more") && short.new_session().is_none());
    let token = post(&link, &[("new", NEW), ("again", NEW)]).send(&county).new_session().unwrap();
    assert_eq!(get(&link).send(&county).status, StatusCode::CONFLICT, "once");
    assert_eq!(post(&link, &[("new", PASSWORD), ("again", PASSWORD)]).send(&county).status, StatusCode::CONFLICT);

    let lark = county.people.visitor(&token).unwrap().unwrap();
    let sheet = post("/account/codes", &[]).cookie(&county, &token).token(&lark.form_token).send(&county).text();
    let codes: Vec<&str> =
        sheet.split("<li>").filter_map(|part| part.split_once("</li>")).map(|(code, _)| code).collect();
    let codes: Vec<&&str> = codes.iter().filter(|code| code.len() == 19).collect();
    assert_eq!(codes.len(), 10, "{sheet}");
    let again = get("/account").cookie(&county, &token).send(&county).text();
    assert!(again.contains("10 of 10 left") && !again.contains(*codes[0]), "told once");

    let back = [("name", "lark <b>"), ("code", codes[3]), ("new", PASSWORD), ("again", PASSWORD)];
    let answer = post("/recover", &back).send(&county);
    assert!(answer.new_session().is_some() && answer.header("location") == "/account", "{}", answer.text());
    assert_eq!(get("/account").cookie(&county, &token).send(&county).status, StatusCode::SEE_OTHER);
    assert_eq!(post("/recover", &back).send(&county).status, StatusCode::FORBIDDEN, "once");
}

#[test]
fn roles_are_changed_and_accounts_closed_by_an_admin() {
    let county = county();
    let reader = county.session(Role::Reader).visitor.account;
    let send = |what: &str, fields: &[(&str, &str)]| {
        post(&format!("/people/{reader}/{what}"), fields).signed_in(&county, Role::Admin).send(&county).status
    };
    assert_eq!(send("role", &[("role", "reviewer")]), StatusCode::SEE_OTHER);
    assert_eq!(county.people.account(reader).unwrap().role, Role::Reviewer);
    assert_eq!(send("role", &[("role", "king")]), StatusCode::BAD_REQUEST);
    assert_eq!(send("close", &[]), StatusCode::SEE_OTHER);
    assert_eq!(get("/phones").signed_in(&county, Role::Reader).send(&county).status, StatusCode::SEE_OTHER);
    let admin = county.session(Role::Admin).visitor.account;
    let last = post(&format!("/people/{admin}/close"), &[]).signed_in(&county, Role::Admin).send(&county);
    assert_eq!(last.status, StatusCode::CONFLICT);
    assert!(last.text().contains("This is the only admin"), "{}", last.text());
    let page = get("/people").signed_in(&county, Role::Admin).send(&county).text();
    assert!(page.contains("3 accounts.") && page.contains("Their names stay in the audit."), "{page}");
}

#[test]
fn whoever_looks_at_something_private_is_in_the_audit_and_a_page_that_was_not_shown_is_not() {
    let county = county();
    let id = county.tomato.to_string();
    let see = |uri: &str| get(uri).signed_in(&county, Role::Reviewer).send(&county).status;
    let before = acts(&county).len();
    see(&format!("/inquiries/{id}"));
    see(&format!("/inquiries/{id}?place=full&contact=full"));
    see(&format!("/photos/{}/small", county.photo));
    see(&format!("/photos/{}/large", county.photo));
    assert_eq!(see(&format!("/inquiries/{}", county.sealed)), StatusCode::FORBIDDEN);
    assert_eq!(see("/inquiries/somebody-s-name"), StatusCode::BAD_REQUEST);
    let rows = acts(&county);
    let new: Vec<_> =
        rows[..rows.len() - before].iter().rev().map(|(w, a, b)| (w.as_str(), a.as_str(), b.as_str())).collect();
    let (who, photo) = ("reviewer", county.photo.to_string());
    assert_eq!(
        new,
        [
            (who, "saw_inquiry", id.as_str()),
            (who, "saw_inquiry", id.as_str()),
            (who, "saw_place", id.as_str()),
            (who, "saw_contact", id.as_str()),
            (who, "saw_photo", photo.as_str()),
        ]
    );
    let page = get("/audit").signed_in(&county, Role::Admin).send(&county).text();
    assert!(page.contains("looked at who asked") && page.contains(&format!("/inquiries/{id}")), "{page}");
}

#[test]
fn a_reader_sees_nothing_private_and_cannot_find_by_it() {
    let county = county();
    let see = |role, uri: &str| get(uri).signed_in(&county, role).send(&county);
    let id = county.tomato;
    let page = see(Role::Reader, &format!("/inquiries/{id}"));
    assert_eq!(page.status, StatusCode::OK);
    let text = page.text();
    assert!(text.contains("Open to scout leads and reviewers.") && text.contains("Leaf spots"), "{text}");
    for uri in ["/inquiries".to_owned(), format!("/inquiries/{id}")] {
        let text = see(Role::Reader, &uri).text();
        for private in ["the blight", "Teal Lane", "Somebody", "Show address", "Show contact"] {
            assert!(!text.contains(private), "{private} in {uri}");
        }
    }
    for asked in ["place=full", "contact=full"] {
        assert_eq!(see(Role::Reader, &format!("/inquiries/{id}?{asked}")).status, StatusCode::FORBIDDEN);
        assert_eq!(see(Role::ScoutLead, &format!("/inquiries/{id}?{asked}")).status, StatusCode::OK);
    }
    for (words, public) in [("tomato", true), ("blight", false), ("teal", false), ("somebody", false)] {
        let found = |role| see(role, &format!("/inquiries?q={words}")).text().contains("Sedge township</b></a>");
        assert_eq!((found(Role::Reader), found(Role::ScoutLead)), (public, true), "{words}");
    }
}

#[test]
fn another_password_is_chosen_with_the_old_one() {
    let county = county();
    let send = |old: &str| {
        let fields = [("old", old), ("new", NEW), ("again", NEW)];
        post("/account/password", &fields).signed_in(&county, Role::Reader).send(&county)
    };
    assert_eq!(send("not the old one").status, StatusCode::CONFLICT);
    assert_eq!(send(PASSWORD).status, StatusCode::SEE_OTHER);
    assert_eq!(sign_in(&county, "reader", PASSWORD).status, StatusCode::FORBIDDEN);
    assert!(sign_in(&county, "reader", NEW).new_session().is_some());
}
