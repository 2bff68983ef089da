//! Asking the page as a browser asks, in tests.

use axum::{
    Router,
    body::{Body, to_bytes},
    http::{HeaderMap, Method, Request, StatusCode},
};
use tower::ServiceExt;

use super::sample_county::County;
use crate::people::{Role, Session};

/// What came back.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub bytes: Vec<u8>,
}

impl Answer {
    pub fn text(&self) -> String {
        String::from_utf8(self.bytes.clone()).unwrap()
    }

    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    /// The token of the session that the answer begins.
    pub fn new_session(&self) -> Option<String> {
        let value = self.header("set-cookie").split(';').next()?.split_once('=')?.1;
        (!value.is_empty()).then(|| value.to_owned())
    }
}

/// What is asked.
#[derive(Clone)]
pub struct Ask {
    method: Method,
    uri: String,
    headers: Vec<(String, String)>,
    fields: Vec<(String, String)>,
    body: Option<Vec<u8>>,
    /// Files to send in place of a plain form: (name, bytes).
    files: Option<Vec<(String, Vec<u8>)>>,
}

/// What stands between the parts of a form with files.
const BOUNDARY: &str = "----dooryard-part";

fn ask(method: Method, uri: &str) -> Ask {
    let headers = vec![("host".into(), "127.0.0.1:8080".into())];
    Ask { method, uri: uri.into(), headers, fields: Vec::new(), body: None, files: None }
}

/// A page to look at.
pub fn get(uri: &str) -> Ask {
    ask(Method::GET, uri)
}

/// A form as a browser sends it from our own page.
pub fn post(uri: &str, fields: &[(&str, &str)]) -> Ask {
    let mut ask = ask(Method::POST, uri)
        .header("origin", "http://127.0.0.1:8080")
        .header("sec-fetch-site", "same-origin")
        .header("content-type", "application/x-www-form-urlencoded");
    ask.fields = fields.iter().map(|(n, v)| ((*n).to_owned(), (*v).to_owned())).collect();
    ask
}

/// Files as a browser sends them from our own page, after its fields.
pub fn send_files(uri: &str, files: &[(&str, &[u8])]) -> Ask {
    let mut ask = post(uri, &[]).header("content-type", &format!("multipart/form-data; boundary={BOUNDARY}"));
    ask.files = Some(files.iter().map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec())).collect());
    ask
}

/// The body of a form with files.
pub fn parts(fields: &[(String, String)], files: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut body = Vec::new();
    let mut put = |head: String, bytes: &[u8]| {
        body.extend(format!("--{BOUNDARY}\r\nContent-Disposition: form-data; {head}\r\n\r\n").as_bytes());
        body.extend(bytes);
        body.extend(b"\r\n");
    };
    for (name, value) in fields {
        put(format!("name=\"{name}\""), value.as_bytes());
    }
    for (name, bytes) in files {
        // As browsers write a quotation mark and a line's end in a name.
        let name = name.replace('"', "%22").replace('\r', "%0D").replace('\n', "%0A");
        put(format!("name=\"files\"; filename=\"{name}\"\r\nContent-Type: application/octet-stream"), bytes);
    }
    body.extend(format!("--{BOUNDARY}--\r\n").as_bytes());
    body
}

impl Ask {
    /// With a header, in place of one of this name.
    pub fn header(mut self, name: &str, value: &str) -> Self {
        self = self.without(name);
        self.headers.push((name.to_owned(), value.to_owned()));
        self
    }

    pub fn without(mut self, name: &str) -> Self {
        self.headers.retain(|(known, _)| known != name);
        self
    }

    /// With these bytes instead of the fields.
    pub fn body(mut self, bytes: Vec<u8>) -> Self {
        self.body = Some(bytes);
        self
    }

    /// With the cookie of a session.
    pub fn cookie(self, county: &County, token: &str) -> Self {
        let office = county.office.card().office().to_string();
        self.header("cookie", &format!("dooryard-{}={token}", &office[..8]))
    }

    /// As somebody of this role, from a page that carries the token.
    pub fn signed_in(self, county: &County, role: Role) -> Self {
        self.held(county, county.session(role))
    }

    pub fn held(self, county: &County, session: &Session) -> Self {
        self.cookie(county, &session.token).token(&session.visitor.form_token)
    }

    /// With this token in the form, in place of another.
    pub fn token(mut self, token: &str) -> Self {
        self.fields.retain(|(name, _)| name != "token");
        if self.method == Method::POST {
            self.fields.push(("token".into(), token.into()));
        }
        self
    }

    pub fn send(self, county: &County) -> Answer {
        self.send_to(county.router.clone())
    }

    pub fn send_to(self, router: Router) -> Answer {
        let mut request = Request::builder().method(self.method).uri(self.uri);
        for (name, value) in self.headers {
            request = request.header(name, value);
        }
        let form = || match &self.files {
            Some(files) => parts(&self.fields, files),
            None => serde_urlencoded::to_string(&self.fields).unwrap().into_bytes(),
        };
        let bytes = self.body.unwrap_or_else(form);
        let runtime = tokio::runtime::Runtime::new().unwrap();
        runtime.block_on(async {
            let response = router.oneshot(request.body(Body::from(bytes)).unwrap()).await.unwrap();
            let (parts, body) = response.into_parts();
            let bytes = to_bytes(body, 1 << 24).await.unwrap().to_vec();
            Answer { status: parts.status, headers: parts.headers, bytes }
        })
    }
}
