//! The laptop by keys alone: every control is reached with Tab, is seen when it is, and does what a tap does.

use serde_json::{Value, json};

use crate::board::Board;
use crate::screen::{Browsers, Screen};
use crate::tour::populate;

/// More controls than any page has.
const MOST: usize = 900;

/// What can be reached: everything a hand could use now. Of a group of round buttons one is (the others by arrow keys).
const REACHABLE: &str = r"
    const usable = (one) => one.checkVisibility({ visibilityProperty: true }) && !one.disabled && one.tabIndex >= 0 && !one.closest('[inert]');
    const all = [...document.querySelectorAll('a[href], button, input, select, textarea, summary')].filter(usable);
    const groups = new Set();
    const apart = all.filter((one) => {
        if (one.type !== 'radio') return true;
        const group = `${one.form ? [...document.forms].indexOf(one.form) : ''}/${one.name}`;
        if (groups.has(group)) return false;
        groups.add(group);
        return true;
    });
    globalThis.reached = new Set();
    document.activeElement?.blur();
    return apart.length";

/// Where the focus is now: null at the end of the page, else what is wrong with it, or nothing.
const STEP: &str = r"
    const one = document.activeElement;
    if (!one || one === document.body) return null;
    const round = one.type === 'radio' ? one.name + [...document.forms].indexOf(one.form) : one;
    if (globalThis.reached.has(round)) return null;
    globalThis.reached.add(round);
    const box = one.getBoundingClientRect();
    const drawn = (element) => { const style = getComputedStyle(element); return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2; };
    const faults = [];
    if (!drawn(one) && !(one.nextElementSibling && drawn(one.nextElementSibling))) faults.push('not seen to have the focus');
    if (box.bottom < 0 || box.top > innerHeight) faults.push('outside of what is seen');
    return faults.length ? `${one.outerHTML.slice(0, 120)}: ${faults.join(', ')}` : ''";

async fn key(screen: &Screen, name: &str, code: u32, text: &str) {
    for kind in ["keyDown", "keyUp"] {
        let mut event =
            json!({ "type": kind, "key": name, "code": name, "windowsVirtualKeyCode": code });
        if kind == "keyDown" && !text.is_empty() {
            event["text"] = json!(text);
        }
        screen.cdp("Input.dispatchKeyEvent", event).await;
    }
}

async fn tab(screen: &Screen) {
    key(screen, "Tab", 9, "").await;
}

/// Tab until the focus is on the first element that fits; fails when the page ends before.
async fn tab_to(screen: &Screen, css: &str) {
    let there = format!("return document.activeElement?.matches(`{css}`) ?? false");
    for _ in 0..MOST {
        tab(screen).await;
        if screen.ask(&there).await == true {
            return;
        }
    }
    panic!("Tab never comes to {css}");
}

#[tokio::test(flavor = "multi_thread")]
async fn every_control_is_reached_by_tab_and_seen_when_it_is() {
    let board = Board::start().await;
    let casualty = populate(&board).await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_as_lead(&board).await;
    let one = format!("/casualties/{casualty}");
    let mut faults = Vec::new();
    for path in [
        "/board",
        &one,
        "/next",
        "/kits",
        "/settings",
        "/evac",
        "/log",
        "/command",
        "/poster",
    ] {
        ina.open(&board.url(path)).await;
        ina.see("main").await;
        // A redraw under the keys would begin the round anew: nothing happens meanwhile.
        let wanted = ina.ask(REACHABLE).await.as_u64().unwrap();
        let mut reached = 0;
        for _ in 0..MOST {
            tab(&ina).await;
            let said = ina.ask(STEP).await;
            let Value::String(fault) = said else { break };
            reached += 1;
            if !fault.is_empty() {
                faults.push(format!("{path}: {fault}"));
            }
        }
        println!("{path}: {reached} of {wanted}");
        if reached < wanted {
            faults.push(format!(
                "{path}: {reached} of {wanted} controls are reached"
            ));
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
    ina.leave().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn somebody_is_registered_and_opened_by_keys_alone() {
    let board = Board::start().await;
    let browsers = Browsers::start();
    let ina = browsers.tablet("Ina").await;
    ina.join_as_lead(&board).await;
    ina.open(&board.url("/next")).await;
    ina.see("body[data-link=live]").await;
    tab_to(&ina, "[data-open=add]").await;
    key(&ina, "Enter", 13, "\r").await;
    ina.see("[data-view-name=add]").await;
    tab_to(&ina, "[data-view-name=add] input[name=age]").await;
    let age = "return document.activeElement.value";
    for _ in 0..4 {
        if ina.ask(age).await == "child" {
            break;
        }
        key(&ina, "ArrowRight", 39, "").await;
    }
    assert_eq!(ina.ask(age).await, "child", "arrow keys choose");
    key(&ina, " ", 32, " ").await;
    tab_to(&ina, "[data-view-name=add] button[type=submit]").await;
    key(&ina, "Enter", 13, "\r").await;
    ina.see("[data-view-name=sheet]").await;
    ina.reads("[data-pill]", "All on the board").await;
    assert_eq!(board.count("casualty.registered/1"), 1);
    // The focus is in what opened, not lost behind it.
    let inside = "return Boolean(document.activeElement?.closest('[data-view-name=sheet]'))";
    assert_eq!(ina.ask(inside).await, true);
    ina.is_sound().await;
    ina.leave().await;
}
