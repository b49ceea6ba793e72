//! Where in a file the changes are, and what of the code they touch.

use std::collections::BTreeSet;
use std::ops::Range;

use syn::spanned::Spanned as _;
use syn::visit::{self, Visit};

use crate::list::{Change, Genre, Lines};

/// Bytes of the file.
pub(crate) type Bytes = Range<usize>;

/// A piece of code that can be changed in one or more ways.
#[derive(Clone, Debug)]
pub(crate) struct Site {
    /// What is written anew.
    pub(crate) whole: Bytes,
    pub(crate) kind: Kind,
    /// Indices into the list of all changes.
    pub(crate) changes: Vec<usize>,
}

#[derive(Clone, Debug)]
pub(crate) enum Kind {
    /// The inside of a function's braces.
    Body,
    /// Operator with a value of its own: `a + b`.
    Value {
        left: Bytes,
        operator: String,
        right: Bytes,
    },
    /// `a < b`, which only looks at its sides.
    Comparison {
        left: Bytes,
        operator: String,
        right: Bytes,
    },
    /// `a && b` or `a || b`; `and` tells which.
    Lazy {
        left: Bytes,
        and: bool,
        right: Bytes,
    },
    /// `a += b`
    Assignment {
        left: Bytes,
        operator: String,
        right: Bytes,
    },
    /// `!a` or `-a`
    Unary { operator: char, operand: Bytes },
    /// An arm that can be left out: its guard, if it has one; else `whole` is empty, behind the
    /// pattern.
    Arm { guard: Option<Bytes> },
    /// A guard that can be always or never true.
    Guard,
}

/// What a file has.
#[derive(Default)]
pub(crate) struct Found {
    pub(crate) sites: Vec<Site>,
    /// The word `const` of functions whose bodies have sites, each with the function's name and
    /// body.
    pub(crate) constant: Vec<(Bytes, String, Bytes)>,
    /// Changes that no site stands for.
    pub(crate) left: Vec<usize>,
}

impl Found {
    /// Whether a site lies in one of these functions that stay constant.
    pub(crate) fn is_constant(&self, site: &Site, functions: &BTreeSet<String>) -> bool {
        self.constant.iter().any(|(_, name, body)| {
            functions.contains(name) && body.start <= site.whole.start && site.whole.end <= body.end
        })
    }
}

/// Finds the sites of `changes` (index, change) in a file.
///
/// # Errors
///
/// Text that is not Rust.
pub(crate) fn find(text: &str, changes: &[(usize, &Change)]) -> syn::Result<Found> {
    let file = syn::parse_file(text)?;
    let lines = Lines::of(text);
    let mut finder = Finder {
        lines: &lines,
        text,
        changes: changes
            .iter()
            .map(|&(i, c)| (i, c, lines.range(c.span)))
            .collect(),
        found: Found::default(),
        frozen: 0,
    };
    finder.visit_file(&file);
    let mut found = finder.found;
    let placed: Vec<usize> = found
        .sites
        .iter()
        .flat_map(|s| s.changes.iter().copied())
        .collect();
    found.left = changes
        .iter()
        .map(|&(i, _)| i)
        .filter(|i| !placed.contains(i))
        .collect();
    Ok(found)
}

struct Finder<'a> {
    lines: &'a Lines<'a>,
    text: &'a str,
    changes: Vec<(usize, &'a Change, Bytes)>,
    found: Found,
    /// Above nought in what must be known when compiling.
    frozen: usize,
}

impl Finder<'_> {
    fn bytes(&self, of: proc_macro2::Span) -> Bytes {
        self.lines.range_of(of)
    }

    fn at(&self, genre: Genre, near: impl Fn(&Bytes) -> bool) -> Vec<usize> {
        let here = self
            .changes
            .iter()
            .filter(|(_, c, b)| c.genre == genre && near(b));
        here.map(|&(i, ..)| i).collect()
    }

    fn add(&mut self, whole: Bytes, kind: Kind, changes: Vec<usize>) {
        if self.frozen == 0 && !changes.is_empty() {
            self.found.sites.push(Site {
                whole,
                kind,
                changes,
            });
        }
    }

    fn function(&mut self, signature: &syn::Signature, block: &syn::Block) {
        let body = self.bytes(block.span());
        let inside = body.start + 1..body.end - 1;
        if let Some(word) = signature.constness {
            let word = self.bytes(word.span());
            self.found
                .constant
                .push((word, signature.ident.to_string(), body.clone()));
        }
        let statements = block.stmts.first().zip(block.stmts.last());
        let statements =
            statements.map(|(a, b)| self.bytes(a.span()).start..self.bytes(b.span()).end);
        let changes = self.at(Genre::FnValue, |c| Some(c) == statements.as_ref());
        self.add(inside, Kind::Body, changes);
    }

    fn frozen(&mut self, look: impl FnOnce(&mut Self)) {
        self.frozen += 1;
        look(self);
        self.frozen -= 1;
    }
}

fn binds(expr: &syn::Expr) -> bool {
    match expr {
        syn::Expr::Let(_) => true,
        syn::Expr::Binary(b) => binds(&b.left) || binds(&b.right),
        _ => false,
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_item_fn(&mut self, f: &'ast syn::ItemFn) {
        self.function(&f.sig, &f.block);
        visit::visit_item_fn(self, f);
    }

    fn visit_impl_item_fn(&mut self, f: &'ast syn::ImplItemFn) {
        self.function(&f.sig, &f.block);
        visit::visit_impl_item_fn(self, f);
    }

    fn visit_trait_item_fn(&mut self, f: &'ast syn::TraitItemFn) {
        if let Some(block) = &f.default {
            self.function(&f.sig, block);
        }
        visit::visit_trait_item_fn(self, f);
    }

    fn visit_item_const(&mut self, c: &'ast syn::ItemConst) {
        self.frozen(|f| visit::visit_item_const(f, c));
    }

    fn visit_impl_item_const(&mut self, c: &'ast syn::ImplItemConst) {
        self.frozen(|f| visit::visit_impl_item_const(f, c));
    }

    fn visit_item_static(&mut self, s: &'ast syn::ItemStatic) {
        self.frozen(|f| visit::visit_item_static(f, s));
    }

    fn visit_type_array(&mut self, a: &'ast syn::TypeArray) {
        self.frozen(|f| visit::visit_type_array(f, a));
    }

    fn visit_expr_repeat(&mut self, r: &'ast syn::ExprRepeat) {
        self.visit_expr(&r.expr);
    }

    fn visit_variant(&mut self, v: &'ast syn::Variant) {
        self.frozen(|f| visit::visit_variant(f, v));
    }

    fn visit_expr_const(&mut self, c: &'ast syn::ExprConst) {
        self.frozen(|f| visit::visit_expr_const(f, c));
    }

    fn visit_pat(&mut self, _: &'ast syn::Pat) {}

    fn visit_expr_binary(&mut self, b: &'ast syn::ExprBinary) {
        use syn::BinOp as O;
        let place = self.bytes(b.op.span());
        let changes = self.at(Genre::BinaryOperator, |c| *c == place);
        let (left, right) = (self.bytes(b.left.span()), self.bytes(b.right.span()));
        let operator = self.text[place].to_owned();
        let kind = match b.op {
            O::And(_) | O::Or(_) => {
                let and = matches!(b.op, O::And(_));
                (!binds(&b.left) && !binds(&b.right)).then_some(Kind::Lazy { left, and, right })
            }
            O::Eq(_) | O::Ne(_) | O::Lt(_) | O::Le(_) | O::Gt(_) | O::Ge(_) => {
                Some(Kind::Comparison {
                    left,
                    operator,
                    right,
                })
            }
            O::AddAssign(_)
            | O::SubAssign(_)
            | O::MulAssign(_)
            | O::DivAssign(_)
            | O::RemAssign(_)
            | O::BitXorAssign(_)
            | O::BitAndAssign(_)
            | O::BitOrAssign(_)
            | O::ShlAssign(_)
            | O::ShrAssign(_) => Some(Kind::Assignment {
                left,
                operator,
                right,
            }),
            _ => Some(Kind::Value {
                left,
                operator,
                right,
            }),
        };
        if let Some(kind) = kind {
            let whole = self.bytes(b.span());
            self.add(whole, kind, changes);
        }
        visit::visit_expr_binary(self, b);
    }

    fn visit_expr_unary(&mut self, u: &'ast syn::ExprUnary) {
        let operator = match u.op {
            syn::UnOp::Not(_) => '!',
            syn::UnOp::Neg(_) => '-',
            _ => return visit::visit_expr_unary(self, u),
        };
        let place = self.bytes(u.op.span());
        let changes = self.at(Genre::UnaryOperator, |c| c.start == place.start);
        let operand = self.bytes(u.expr.span());
        let whole = self.bytes(u.span());
        self.add(whole, Kind::Unary { operator, operand }, changes);
        visit::visit_expr_unary(self, u);
    }

    fn visit_arm(&mut self, arm: &'ast syn::Arm) {
        let pattern = self.bytes(arm.pat.span());
        let place = self.bytes(arm.span());
        let changes = self.at(Genre::MatchArm, |c| *c == place);
        let guard = arm.guard.as_ref().map(|(_, g)| self.bytes(g.span()));
        let plain = arm.guard.as_ref().is_none_or(|(_, g)| !binds(g));
        if plain {
            let whole = guard.clone().unwrap_or(pattern.end..pattern.end);
            self.add(
                whole,
                Kind::Arm {
                    guard: guard.clone(),
                },
                changes,
            );
            if let Some(guard) = guard {
                let changes = self.at(Genre::MatchArmGuard, |c| *c == guard);
                self.add(guard, Kind::Guard, changes);
            }
        }
        visit::visit_arm(self, arm);
    }
}
