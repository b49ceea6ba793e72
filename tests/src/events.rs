//! The event channel of WebDriver BiDi, used for Firefox: console errors, requests, viewport.

use futures_util::{SinkExt, StreamExt};
use serde_json::{Value, json};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream};

/// An open channel; events that arrive while a command waits for its answer are kept.
pub(crate) struct Events {
    socket: WebSocketStream<MaybeTlsStream<TcpStream>>,
    kept: Vec<Value>,
    last_id: u64,
}

impl Events {
    /// Connects and asks for console messages and requests.
    pub(crate) async fn connect(address: &str) -> Self {
        let (socket, _) = tokio_tungstenite::connect_async(address)
            .await
            .unwrap_or_else(|error| panic!("the event channel {address} is closed: {error}"));
        let mut events = Self {
            socket,
            kept: Vec::new(),
            last_id: 0,
        };
        events
            .command(
                "session.subscribe",
                json!({"events": ["log.entryAdded", "network.beforeRequestSent"]}),
            )
            .await;
        events
    }

    /// Sends a command and returns its result.
    pub(crate) async fn command(&mut self, method: &str, params: Value) -> Value {
        self.last_id += 1;
        let id = self.last_id;
        let text = json!({"id": id, "method": method, "params": params}).to_string();
        self.socket
            .send(Message::text(text))
            .await
            .unwrap_or_else(|error| panic!("{method}: {error}"));
        loop {
            let message = match self.socket.next().await {
                Some(Ok(message)) => message,
                Some(Err(error)) => panic!("{method}: {error}"),
                None => panic!("{method}: the event channel closed"),
            };
            let Ok(text) = message.to_text() else {
                continue;
            };
            let Ok(mut message) = serde_json::from_str::<Value>(text) else {
                continue;
            };
            if message["id"] != json!(id) {
                self.kept.push(message);
            } else if message["type"] == "success" {
                return message["result"].take();
            } else {
                panic!("{method}: {}: {}", message["error"], message["message"]);
            }
        }
    }

    /// The events so far.
    pub(crate) async fn all(&mut self) -> &[Value] {
        // Whatever was sent before this answer has arrived when the answer has.
        self.command("session.status", json!({})).await;
        &self.kept
    }
}
