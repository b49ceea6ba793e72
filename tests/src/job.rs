//! The main job as a maker does it, from an empty page to paper, for the tests that do it in many
//! places.

use serde_json::json;

use crate::engine::Engine;
use crate::page::{Page, Viewport};

/// How the maker's hand reaches the page.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Hand {
    Mouse,
    /// Where the engine has one.
    Finger,
}

impl Page {
    /// Clicks or taps.
    async fn hit(&self, hand: Hand, css: &str) {
        match hand {
            Hand::Mouse => self.click(css).await,
            Hand::Finger => self.tap(css).await,
        }
    }

    /// Brings the focus to an empty field and types.
    async fn fill(&self, hand: Hand, css: &str, text: &str) {
        self.hit(hand, css).await;
        let focused = "return document.activeElement.matches(arguments[0])";
        let focused = self.js_with(focused, vec![json!(css)]).await;
        assert_eq!(focused, json!(true), "{}: {css}", self.engine());
        self.press(text).await;
    }

    /// Opens all folds, and waits until they are filled and laid out, in sight or not.
    pub async fn open_folds(&self) {
        self.js("document.querySelectorAll('main details').forEach((d) => { d.open = true; })")
            .await;
        // The page hears of a fold a moment after it has opened.
        self.js_async("requestAnimationFrame(() => setTimeout(arguments[0], 50))")
            .await;
        self.settle().await;
        self.lay_out_all().await;
    }

    /// The whole job at this size: sizes typed, a rack and its prices, the answer read, a figure
    /// explained, a drawing opened, the order of stapling gone through, both units, the dialogs,
    /// the job sheet; and never a page wider than the screen.
    pub async fn main_job(&self, viewport: Viewport) {
        let hand = match viewport {
            Viewport::Phone | Viewport::Tablet => Hand::Finger,
            _ => Hand::Mouse,
        };
        let hit = async |css| self.hit(hand, css).await;
        self.set_viewport(viewport).await;
        self.js("window.hits = [];
                 window.noteHit ??= addEventListener('pointerdown', (e) => hits.push(e.pointerType), true) ?? 1;
                 window.print = () => { window.printed = document.querySelector('#print-sheet').textContent; };
                 window.printed = '';")
            .await;

        hit("#start-empty").await;
        self.fill(hand, "#canvases-0-width", "1000").await;
        self.fill(hand, "#canvases-0-height", "800").await;
        // 1000 + 2 × (19 bead + 20 depth + 40 turnover + 30 grip) = 1218
        self.wait_for_text("#stretch-sheet", "1218").await;
        self.fill(hand, "#boards-0-length", "2.4 m").await;
        self.fill(hand, "#boards-0-price", "5").await;
        hit("#boards-add").await;
        self.choose("#boards-1-of", "bead").await;
        self.fill(hand, "#boards-1-length", "2.4 m").await;
        self.fill(hand, "#boards-1-price", "4").await;
        self.fill(hand, "#rolls-0-width", "2.1 m").await;
        self.fill(hand, "#rolls-0-price", "10").await;
        self.wait_for_text("#answer", "Cost").await;
        // One more and gone again.
        hit("[data-act=copy][data-table=canvases]").await;
        assert_eq!(self.count("#list-canvases > li").await, 2);
        hit("[data-act=remove][data-table=canvases][data-row='1']").await;
        assert_eq!(self.count("#list-canvases > li").await, 1);
        hit("#undo").await;
        assert_eq!(self.count("#list-canvases > li").await, 2);
        hit("#redo").await;

        // A figure explains itself, and the focus comes back to it.
        let figure = "#canvases-sheet .figure";
        hit(figure).await;
        self.wait_for_text("#how-body", "Source").await;
        hit("#how [data-act=close-dialog]").await;
        let back = format!("return document.activeElement === document.querySelector('{figure}')");
        self.wait_until("the focus is back at the figure", &back)
            .await;

        // A fold and what it holds: the stapling, by its buttons and by a tap on the drawing.
        hit("details[data-picture=steps-0] > summary").await;
        let said = "#steps-0-said";
        self.wait_for_text(said, "Step 1 of ").await;
        hit("#steps-0-step-next").await;
        self.wait_for_text(said, "Step 2 of ").await;
        hit("#picture-steps-0").await;
        self.wait_for_text(said, "Step 3 of ").await;
        hit("#steps-0-step-back").await;
        self.wait_for_text(said, "Step 2 of ").await;
        hit("#steps-0-step-back").await;
        self.wait_for_text(said, "Step 1 of ").await;
        hit("details[data-picture=steps-0] > summary").await;

        hit("input[value=imperial] + span").await;
        self.wait_for_text("#stretch-sheet", "48 in").await;
        hit("input[value=metric] + span").await;
        self.wait_for_text("#stretch-sheet", "1218").await;

        for (button, dialog) in [
            ("#plans", "#shelf"),
            ("#show-code", "#code"),
            ("#show-help", "#help"),
        ] {
            hit(button).await;
            self.wait_until(
                "the dialog",
                &format!("return document.querySelector('{dialog}').open"),
            )
            .await;
            let close = format!("{dialog} [data-act=close-dialog]");
            self.hit(hand, &close).await;
            let back = format!("return document.activeElement.matches('{button}')");
            self.wait_until("the focus is back at the button", &back)
                .await;
        }

        hit("#print").await;
        self.wait_until(
            "the job sheet is printed",
            "return window.printed.includes('To buy')",
        )
        .await;
        let wider =
            "return document.documentElement.scrollWidth - document.documentElement.clientWidth";
        assert_eq!(self.js(wider).await, json!(0), "{viewport:?}");

        // It was the finger, or the mouse, that did it.
        let kind = match (hand, self.engine()) {
            (Hand::Finger, Engine::Chromium | Engine::Firefox) => "touch",
            _ => "mouse",
        };
        let others = format!(
            "return window.hits.length > 20 ? window.hits.filter((kind) => kind !== '{kind}') : ['too few']"
        );
        assert_eq!(self.js(&others).await, json!([]), "{viewport:?}");
    }

    /// Presses every kind of button that is shown, but for those that replace the plan, once; none
    /// may break the page. Returns how many there were.
    pub async fn every_button(&self) -> usize {
        self.js("window.print = () => {}; window.pressed = new Set();")
            .await;
        let next = "
            document.querySelectorAll('dialog[open]').forEach((d) => d.close());
            const key = (b) => (b.id || [b.dataset.act, b.dataset.table].join()).replace(/[0-9]+/g, 'n');
            const shown = [...document.querySelectorAll('button')].filter((b) => b.checkVisibility()
                && !['empty', 'example', 'close-dialog', 'plan-open'].includes(b.dataset.act) && !pressed.has(key(b)));
            if (shown.length === 0) return false;
            pressed.add(key(shown[0]));
            shown[0].click();
            return true;";
        let mut pressed = 0;
        while self.js(next).await == json!(true) {
            self.settle().await;
            pressed += 1;
            assert!(
                !self.is_shown("#failure").await,
                "{}: button {pressed}",
                self.engine()
            );
            assert!(pressed < 200, "{}: buttons without end", self.engine());
        }
        pressed
    }
}
