//! Serving the page on this machine.

use std::{
    net::{Ipv4Addr, SocketAddr},
    sync::Arc,
};

use anyhow::Context;
use dooryard_core::key::Pack;

use super::routes::router;
use crate::desk::Office;

/// Serves the page on 127.0.0.1 until somebody presses Ctrl-C. Port 0 takes a free one. The address is printed.
///
/// # Errors
/// When the port is taken, or the office cannot be read.
pub fn serve(office: Arc<Office>, pack: Arc<Pack>, port: u16) -> anyhow::Result<()> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(async {
        let at = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
        let listener = tokio::net::TcpListener::bind(at).await.with_context(|| {
            format!("port {port} on this machine is taken. Give another with --port, or --port 0 for a free one")
        })?;
        println!("The office page: http://{}/", listener.local_addr()?);
        println!("It is for this machine only. Ctrl-C ends it.");
        let until = async {
            if tokio::signal::ctrl_c().await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        axum::serve(listener, router(office, pack)).with_graceful_shutdown(until).await?;
        Ok(())
    })
}
