//! The code with all changes in it.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use crate::list::Change;
use crate::sites::{Bytes, Found, Kind, Site};

/// What stands at the end of the crate's root: which change is on, from the environment.
pub(crate) const SWITCH: &str = r#"
/// Which change is on.
#[doc(hidden)]
pub mod switch__ {
    extern crate std;
    use std::io::Write as _;
    use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
    const UNREAD: u64 = u64::MAX;
    const RECORD: u64 = u64::MAX - 1;
    static STATE: AtomicU64 = AtomicU64::new(UNREAD);
    static MET: [AtomicBool; 65536] = [const { AtomicBool::new(false) }; 65536];

    /// The way that a site (from 1) goes; 0 is as written.
    #[inline]
    pub fn at(site: u64) -> u64 {
        let state = STATE.load(Relaxed);
        if state >> 8 == site { state & 255 } else if state < RECORD { 0 } else { first(site) }
    }

    #[cold]
    fn first(site: u64) -> u64 {
        if STATE.load(Relaxed) == UNREAD {
            let on = std::env::var("MUTANT_ON").ok().and_then(|v| v.parse().ok());
            let record = std::env::var_os("MUTANT_RECORD").map(|_| RECORD);
            STATE.store(on.or(record).unwrap_or(0), Relaxed);
            return at(site);
        }
        if !MET[site as usize].swap(true, Relaxed) {
            let path = std::env::var_os("MUTANT_RECORD").expect("set");
            let mut options = std::fs::OpenOptions::new();
            let mut file = options.create(true).append(true).open(path).expect("opens");
            file.write_all(std::format!("{site}\n").as_bytes()).expect("writes");
        }
        0
    }
}
"#;

/// Writes one file anew.
pub(crate) struct Writer<'a> {
    pub(crate) text: &'a str,
    pub(crate) changes: &'a [Change],
    /// Changes that do not compile.
    pub(crate) unviable: &'a BTreeSet<usize>,
    /// Numbers of sites that stay as they are.
    pub(crate) kept: &'a BTreeSet<u64>,
    /// Names of functions that stay constant.
    pub(crate) constant: &'a BTreeSet<String>,
    /// The number of the file's first site.
    pub(crate) first: u64,
}

impl Writer<'_> {
    /// The file's text; each way of a site stands on a line of its own that ends in `/*~change*/`,
    /// each site between `/*<site*/` and `/*>site*/`.
    pub(crate) fn write(&self, found: &Found) -> String {
        let mut parts: Vec<(u64, Option<&Site>, Bytes)> = Vec::new();
        for (number, site) in (self.first..).zip(&found.sites) {
            if !self.kept.contains(&number) && !found.is_constant(site, self.constant) {
                parts.push((number, Some(site), site.whole.clone()));
            }
        }
        for (word, name, _) in &found.constant {
            if !self.constant.contains(name) {
                parts.push((0, None, word.clone()));
            }
        }
        parts.sort_by_key(|(.., bytes)| (bytes.start, std::cmp::Reverse(bytes.end)));
        let mut out = String::new();
        self.copy(0..self.text.len(), &parts, &mut out);
        out
    }

    /// Copies a range of the file with the parts in it.
    fn copy(&self, range: Bytes, parts: &[(u64, Option<&Site>, Bytes)], out: &mut String) {
        let mut at = range.start;
        let mut next = 0;
        while next < parts.len() {
            let (number, site, bytes) = &parts[next];
            let inner = next + 1;
            next += 1;
            if bytes.start < at || bytes.end > range.end {
                continue;
            }
            out.push_str(&self.text[at..bytes.start]);
            let behind = parts[inner..]
                .iter()
                .take_while(|(.., b)| b.start < bytes.end)
                .count();
            if let Some(site) = site {
                self.site(*number, site, &parts[inner..inner + behind], out);
            }
            next = inner + behind;
            at = bytes.end;
        }
        out.push_str(&self.text[at..range.end]);
    }

    fn site(
        &self,
        number: u64,
        site: &Site,
        inner: &[(u64, Option<&Site>, Bytes)],
        out: &mut String,
    ) {
        let part = |bytes: &Bytes| {
            let mut text = String::new();
            self.copy(bytes.clone(), inner, &mut text);
            text
        };
        let ways: Vec<(usize, usize, &str)> = (1..)
            .zip(&site.changes)
            .filter(|(_, change)| !self.unviable.contains(change))
            .map(|(way, &change)| (way, change, self.changes[change].replacement.as_str()))
            .collect();
        let chosen = |out: &mut String, plain: &str, way: &dyn Fn(&str) -> String| {
            let _ = write!(out, "match crate::switch__::at({number}) {{ 0 => {plain},");
            for (k, change, replacement) in &ways {
                let _ = write!(out, "\n{k} => {}, /*~{change}*/", way(replacement));
            }
            out.push_str("\n_ => ::core::unreachable!() }");
        };
        let _ = write!(out, "/*<{number}*/");
        let whole = &site.whole;
        match &site.kind {
            Kind::Body => {
                let _ = write!(out, "match crate::switch__::at({number}) {{");
                for (k, change, replacement) in &ways {
                    let _ = write!(out, "\n{k} => return ({replacement}), /*~{change}*/");
                }
                out.push_str("\n_ => {} }");
                out.push_str(&part(whole));
            }
            Kind::Value {
                left,
                operator,
                right,
            } => {
                let (left, right) = (part(left), part(right));
                // A number's type comes from the other side, which a name for it would hide.
                let literal = |s: &str| s.chars().all(|c| c.is_alphanumeric() || "._".contains(c));
                let side = |s: &str, name: &str| match s.chars().next() {
                    Some('0'..='9') if literal(s) => s.to_owned(),
                    _ => name.to_owned(),
                };
                let (l, r) = (side(&left, "l__"), side(&right, "r__"));
                let _ = write!(out, "(match ({left}, {right}) {{ (l__, r__) => ");
                chosen(out, &format!("{l} {operator} {r}"), &|way| {
                    format!("{l} {way} {r}")
                });
                out.push_str(" })");
            }
            Kind::Comparison {
                left,
                operator,
                right,
            } => {
                let _ = write!(
                    out,
                    "(match (&({}), &({})) {{ (l__, r__) => ",
                    part(left),
                    part(right)
                );
                chosen(out, &format!("*l__ {operator} *r__"), &|r| {
                    format!("*l__ {r} *r__")
                });
                out.push_str(" })");
            }
            Kind::Lazy { left, and, right } => {
                let turn = if *and { "!=" } else { "==" };
                // Of the ways only the other of the two words is here; `==` and `!=` are not lazy.
                let other = ways.iter().find(|(.., r)| *r == "||" || *r == "&&");
                let way = other.map_or(255, |(way, ..)| *way);
                let change = other.map_or(usize::MAX, |(_, change, _)| *change);
                let _ = write!(
                    out,
                    "(match {} {{ l__ => if l__ {turn} (crate::switch__::at({number}) == {way})\n/*~{change}*/\n {{ {} }} else {{ l__ }} }})",
                    part(left),
                    part(right),
                );
            }
            Kind::Assignment {
                left,
                operator,
                right,
            } => {
                let left = part(left);
                let _ = write!(out, "match {} {{ r__ => ", part(right));
                chosen(out, &format!("{{ {left} {operator} r__ }}"), &|r| {
                    format!("{{ {left} {r} r__ }}")
                });
                out.push_str(" }");
            }
            Kind::Unary { operator, operand } => {
                let _ = write!(out, "(match {} {{ o__ => ", part(operand));
                chosen(out, &format!("{operator}o__"), &|_| "o__".into());
                out.push_str(" })");
            }
            Kind::Arm { guard } => match guard {
                Some(guard) => {
                    let _ = write!(
                        out,
                        "crate::switch__::at({number}) == 0 && ({})",
                        part(guard)
                    );
                }
                None => {
                    let _ = write!(out, " if crate::switch__::at({number}) == 0 ");
                }
            },
            Kind::Guard => chosen(out, &part(whole), &str::to_owned),
        }
        let _ = write!(out, "/*>{number}*/");
    }
}
