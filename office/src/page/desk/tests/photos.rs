//! Photos that come with a call.

use axum::http::StatusCode;
use dooryard_core::record::Kind;

use super::{all, id_of, look, typed};
use crate::{
    page::{asks::post, sample_county::county},
    people::Role,
};

/// A form with a token and files, as a browser sends it.
fn multipart(token: &str, files: &[&[u8]]) -> Vec<u8> {
    let mut body = format!("--line\r\ncontent-disposition: form-data; name=\"token\"\r\n\r\n{token}\r\n").into_bytes();
    for file in files {
        body.extend(b"--line\r\ncontent-disposition: form-data; name=\"photo\"; filename=\"a.jpg\"\r\ncontent-type: image/jpeg\r\n\r\n");
        body.extend_from_slice(file);
        body.extend(b"\r\n");
    }
    body.extend(b"--line--\r\n");
    body
}

#[test]
fn photos_come_with_a_call_all_or_none_and_only_from_our_own_page() {
    let county = county();
    let id = id_of(&typed(&county, "/desk/typed", &[("words", "See the photos.")]));
    let mut jpeg = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_pixel(64, 48, image::Rgb([20, 120, 40]))
        .write_to(&mut jpeg, image::ImageFormat::Jpeg)
        .unwrap();
    let jpeg = jpeg.into_inner();
    let token = county.session(Role::ScoutLead).visitor.form_token.clone();
    let put = |token: &str, files: &[&[u8]]| {
        post(&format!("/desk/{id}/photos"), &[])
            .signed_in(&county, Role::ScoutLead)
            .header("content-type", "multipart/form-data; boundary=line")
            .body(multipart(token, files))
            .send(&county)
    };
    let shown = || look(&county, &format!("/desk/{id}")).text().matches("<figure>").count();
    assert_eq!(put("another", &[&jpeg]).status, StatusCode::FORBIDDEN);
    let large = vec![0; dooryard_core::photo::MAX_BYTES + 1];
    let refused = put(&token, &[&jpeg, &large]);
    assert!(refused.status == StatusCode::CONFLICT && refused.text().contains("larger than 32 MiB"));
    let many = put(&token, &[&jpeg[..]; 21]);
    assert!(many.status == StatusCode::PAYLOAD_TOO_LARGE && many.text().contains("20"), "{}", many.text());
    let refused = put(&token, &[&jpeg, b"GIF89a"]);
    assert!(refused.status == StatusCode::CONFLICT && refused.text().contains("neither JPEG nor PNG"));
    assert_eq!(shown(), 0);
    assert_eq!(put(&token, &[&jpeg, &jpeg]).status, StatusCode::SEE_OTHER);
    assert_eq!(shown(), 2);
    let arriving = std::fs::read_dir(county.office.folder().join("arriving")).unwrap();
    assert_eq!(arriving.count(), 0, "nothing is left of what came");
    let stored = all(&county, Kind::Photo).into_iter().find(|p| p.text("inquiry") == Some(&id.to_string())).unwrap();
    let small = look(&county, &format!("/photos/{}/small", stored.id));
    assert!(small.status == StatusCode::OK && small.bytes != jpeg);
}
