//! Serving the page on this machine.

use std::{
    net::{Ipv4Addr, SocketAddr},
    sync::Arc,
};

use anyhow::Context;
use dooryard_core::key::Pack;

use super::{guard::SLOWEST, names::Names, routes};
use crate::{desk::Office, index::Index, people::People};

/// Serves the page on 127.0.0.1 until somebody presses Ctrl-C. Port 0 takes a free one. The address is printed, and while
/// nobody has an account, a one-time link to make the first.
///
/// # Errors
/// When the port is taken, or the office or its accounts cannot be read.
pub fn serve(office: Arc<Office>, people: Arc<People>, pack: Arc<Pack>, port: u16) -> anyhow::Result<()> {
    // So that the first page does not have to wait for it.
    Index::open(office.folder(), &Names::of(&pack))?.follow(office.notebook())?;
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(async {
        let at = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
        let listener = tokio::net::TcpListener::bind(at).await.with_context(|| {
            format!("port {port} on this machine is taken. Give another with --port, or --port 0 for a free one")
        })?;
        let at = listener.local_addr()?;
        println!("The office page: http://{at}/");
        if let Some(token) = people.first_link()? {
            println!("Nobody has an account yet. This link makes the first, an admin's; it is good once, for an hour:");
            println!("http://{at}/welcome/{token}");
        }
        println!("It is for this machine only. Ctrl-C ends it.");
        let until = async {
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        let (desk, pages) = routes::laid_out(office, people, pack, SLOWEST);
        // Nor does the first page of the review.
        let early = desk.clone();
        tokio::task::spawn_blocking(move || early.make_queue());
        let app = routes::guarded(desk.clone(), pages).into_make_service_with_connect_info::<SocketAddr>();
        let until = async move {
            until.await;
            // Pages that wait for news would hold the end up.
            desk.live.close();
        };
        axum::serve(listener, app).with_graceful_shutdown(until).await?;
        Ok(())
    })
}
