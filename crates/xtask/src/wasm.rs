//! A compiled module made ready for the file: names and other notes dropped, functions that are
//! alike put near each other.
//!
//! Deflate finds again only what stood in the 32 kB before, a fortieth of the page's module; in
//! what order functions come is all the same to the machine.

use std::collections::{BTreeMap, HashMap, HashSet, VecDeque};
use std::ops::Range;

use wasm_encoder::reencode::{self, Reencode};
use wasm_encoder::{CodeSection, FunctionSection, ImportSection};
use wasmparser::{KnownCustom, Name, Payload};

use crate::shell::{Error, Result};

/// How far deflate looks back, less what it may be reading.
const IN_SIGHT: usize = 28_000;
/// Runs of this many bytes say that two functions are alike.
const RUN: usize = 5;
/// A run that more functions have says nothing.
const COMMON: usize = 60;

/// A module made ready.
pub(crate) struct Tidy {
    /// The module.
    pub(crate) bytes: Vec<u8>,
    /// Bytes of code by crate, most first; generic code counts for the crate that wrote it.
    pub(crate) crates: Vec<(String, usize)>,
    /// What it imported by these names, it imports by [`short`] ones.
    imports: Vec<String>,
}

impl Tidy {
    /// wasm-bindgen's script, which gives the module what it imports, with the short names.
    pub(crate) fn script(&self, script: &str) -> Result<String> {
        let mut script = script.to_owned();
        for (n, import) in self.imports.iter().enumerate() {
            let key = format!("\n            {import}: ");
            if script.matches(&key).count() != 1 {
                return Err(Error::new(format!("wasm-bindgen's script has no {import}")));
            }
            script = script.replacen(&key, &format!("\n            {}: ", short(n)), 1);
        }
        Ok(script)
    }
}

/// The name of an import in the file.
fn short(n: usize) -> String {
    format!("i{n}")
}

/// Makes a module ready that still has its names.
pub(crate) fn tidy(module: &[u8]) -> Result<Tidy> {
    let parts = Parts::of(module).map_err(|error| failed(&error))?;
    let bodies: Vec<&[u8]> = parts.bodies.iter().map(|b| &module[b.clone()]).collect();
    let order = by_likeness(&bodies);
    let mut places = vec![0; order.len()];
    for (place, &function) in order.iter().enumerate() {
        places[function] = place;
    }
    let mut tidy = wasm_encoder::Module::new();
    Reordered {
        imported: parts.imported,
        order: &order,
        places: &places,
    }
    .parse_core_module(&mut tidy, wasmparser::Parser::new(0), module)
    .map_err(|error| failed(&error))?;
    Ok(Tidy {
        bytes: tidy.finish(),
        crates: parts.crates(),
        imports: parts.imports,
    })
}

fn failed(error: &dyn std::fmt::Display) -> Error {
    Error::new(format!("the module can't be read: {error}"))
}

#[derive(Default)]
struct Parts {
    /// The names of what is imported.
    imports: Vec<String>,
    /// How many functions are among it: their numbers come first.
    imported: u32,
    /// Where the body of each function lies.
    bodies: Vec<Range<usize>>,
    names: HashMap<u32, String>,
}

impl Parts {
    fn of(module: &[u8]) -> wasmparser::Result<Self> {
        let mut parts = Self::default();
        for payload in wasmparser::Parser::new(0).parse_all(module) {
            match payload? {
                Payload::ImportSection(imports) => {
                    for import in imports.into_imports() {
                        let import = import?;
                        if let wasmparser::TypeRef::Func(_) = import.ty {
                            parts.imported += 1;
                        }
                        parts.imports.push(import.name.to_owned());
                    }
                }
                Payload::CodeSectionEntry(body) => parts.bodies.push(body.range()),
                Payload::CustomSection(custom) => {
                    if let KnownCustom::Name(names) = custom.as_known() {
                        for part in names {
                            if let Name::Function(functions) = part? {
                                for function in functions {
                                    let function = function?;
                                    parts.names.insert(function.index, function.name.to_owned());
                                }
                            }
                        }
                    }
                }
                _ => {}
            }
        }
        Ok(parts)
    }

    fn crates(&self) -> Vec<(String, usize)> {
        let mut crates: BTreeMap<&str, usize> = BTreeMap::new();
        for (number, body) in (self.imported..).zip(&self.bodies) {
            let name = self.names.get(&number).map_or("", String::as_str);
            *crates.entry(crate_of(name)).or_default() += body.len();
        }
        let mut crates: Vec<_> = crates
            .into_iter()
            .map(|(name, bytes)| (name.to_owned(), bytes))
            .collect();
        crates.sort_by_key(|(_, bytes)| std::cmp::Reverse(*bytes));
        crates
    }
}

/// The crate in a function's name: what stands before its first `::`.
fn crate_of(name: &str) -> &str {
    let path = name.split("::").next().unwrap_or_default();
    let start = path.rfind(|c: char| !(c.is_alphanumeric() || c == '_'));
    match path[start.map_or(0, |at| at + 1)..].trim() {
        "" => "other",
        krate if name.contains("::") => krate,
        _ => "other",
    }
}

struct Reordered<'a> {
    imported: u32,
    order: &'a [usize],
    places: &'a [usize],
}

impl Reencode for Reordered<'_> {
    type Error = std::convert::Infallible;

    fn function_index(&mut self, function: u32) -> std::result::Result<u32, reencode::Error> {
        Ok(match function.checked_sub(self.imported) {
            Some(own) => self.imported + self.places[own as usize] as u32,
            None => function,
        })
    }

    fn parse_import_section(
        &mut self,
        imports: &mut ImportSection,
        section: wasmparser::ImportSectionReader<'_>,
    ) -> std::result::Result<(), reencode::Error> {
        for (n, import) in section.into_imports().enumerate() {
            let import = import?;
            imports.import(import.module, &short(n), self.entity_type(import.ty)?);
        }
        Ok(())
    }

    fn parse_function_section(
        &mut self,
        functions: &mut FunctionSection,
        section: wasmparser::FunctionSectionReader<'_>,
    ) -> std::result::Result<(), reencode::Error> {
        let types = section
            .into_iter()
            .collect::<wasmparser::Result<Vec<_>>>()?;
        for &function in self.order {
            functions.function(types[function]);
        }
        Ok(())
    }

    fn parse_code_section(
        &mut self,
        code: &mut CodeSection,
        section: wasmparser::CodeSectionReader<'_>,
    ) -> std::result::Result<(), reencode::Error> {
        let bodies = section
            .into_iter()
            .collect::<wasmparser::Result<Vec<_>>>()?;
        for &function in self.order {
            self.parse_function_body(code, bodies[function].clone())?;
        }
        Ok(())
    }

    fn parse_custom_section(
        &mut self,
        _: &mut wasm_encoder::Module,
        _: wasmparser::CustomSectionReader<'_>,
    ) -> std::result::Result<(), reencode::Error> {
        Ok(())
    }
}

/// An order in which each function has much in common with those before it: of all that are left,
/// the one comes next that shares most runs of bytes, for its length, with what is in sight.
fn by_likeness(bodies: &[&[u8]]) -> Vec<usize> {
    let runs = Runs::of(bodies);
    let mut left: HashSet<usize> = (0..bodies.len()).collect();
    let mut order = Vec::with_capacity(bodies.len());
    let mut in_sight = VecDeque::new();
    let mut bytes = 0;
    // How often each run is in sight, and how many runs of each function are.
    let mut seen = vec![0_u32; runs.holders.len()];
    let mut shared = vec![0_usize; bodies.len()];
    while let Some(next) = left.iter().copied().min_by(|&a, &b| {
        // Shares compared as fractions; a short function is not liked for one run alone.
        let share = |i: usize, other: usize| shared[i] * (bodies[other].len() + 20);
        share(b, a).cmp(&share(a, b)).then(a.cmp(&b))
    }) {
        left.remove(&next);
        order.push(next);
        in_sight.push_back(next);
        bytes += bodies[next].len();
        for &run in &runs.held[next] {
            seen[run] += 1;
            if seen[run] == 1 {
                runs.holders[run].iter().for_each(|&i| shared[i] += 1);
            }
        }
        while bytes > IN_SIGHT && in_sight.len() > 1 {
            let Some(gone) = in_sight.pop_front() else {
                break;
            };
            bytes -= bodies[gone].len();
            for &run in &runs.held[gone] {
                seen[run] -= 1;
                if seen[run] == 0 {
                    runs.holders[run].iter().for_each(|&i| shared[i] -= 1);
                }
            }
        }
    }
    order
}

/// The runs of bytes that two functions or more have in common.
struct Runs {
    /// Which functions have each run.
    holders: Vec<Vec<usize>>,
    /// Which runs each function has.
    held: Vec<Vec<usize>>,
}

impl Runs {
    fn of(bodies: &[&[u8]]) -> Self {
        let mut holders: HashMap<&[u8], Vec<usize>> = HashMap::new();
        for (i, body) in bodies.iter().enumerate() {
            for run in body.windows(RUN) {
                let list = holders.entry(run).or_default();
                if list.last() != Some(&i) {
                    list.push(i);
                }
            }
        }
        let holders: Vec<Vec<usize>> = holders
            .into_values()
            .filter(|list| (2..=COMMON).contains(&list.len()))
            .collect();
        let mut held = vec![Vec::new(); bodies.len()];
        for (run, list) in holders.iter().enumerate() {
            for &i in list {
                held[i].push(run);
            }
        }
        Self { holders, held }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_crate_is_read_off_a_name() {
        assert_eq!(crate_of("planner::plan::plan_with::h9ef7"), "planner");
        assert_eq!(
            crate_of("<core::iter::adapters::map::Map<I,F> as core::iter::Iterator>::fold::h31"),
            "core"
        );
        assert_eq!(
            crate_of("<&mut sheets::pen::Pen as core::fmt::Write>::h1"),
            "sheets"
        );
        assert_eq!(crate_of("memcpy"), "other");
        assert_eq!(crate_of(""), "other");
    }

    #[test]
    fn those_alike_come_together() {
        let bodies: [&[u8]; 4] = [b"abcdefgh", b"12345678", b"abcdefgx", b"y2345678"];
        assert_eq!(by_likeness(&bodies), [0, 2, 1, 3]);
    }

    #[test]
    fn a_module_calls_the_same_functions_as_before() {
        // (module (import "" "i" (func)) (func $a call $b) (func $b call $i call $a)
        //   (export "b" (func $b)) (start $a)) by the binary format of the WebAssembly core
        // specification, section 5; the bodies are padded so that they are moved.
        use wasm_encoder::{
            EntityType, ExportKind, ExportSection, Function, Module, StartSection, TypeSection,
        };
        let mut types = TypeSection::new();
        types.ty().function([], []);
        let mut imports = ImportSection::new();
        imports.import("", "i", EntityType::Function(0));
        let mut functions = FunctionSection::new();
        let mut code = CodeSection::new();
        // Numbers 1, 2, 3: the first and the last are alike.
        for (number, call) in [(7_i32, 2), (1_000_000, 0), (7, 1)] {
            functions.function(0);
            let mut body = Function::new([]);
            for _ in 0..4 {
                body.instructions().i32_const(number).drop();
            }
            body.instructions().call(call).end();
            code.function(&body);
        }
        let mut exports = ExportSection::new();
        exports.export("second", ExportKind::Func, 2);
        let mut module = Module::new();
        module.section(&types).section(&imports).section(&functions);
        module
            .section(&exports)
            .section(&StartSection { function_index: 3 });
        module.section(&code);

        let tidy = tidy(&module.finish()).expect("a module");
        // New numbers: 1 stays, 3 becomes 2, 2 becomes 3.
        let mut calls = Vec::new();
        for payload in wasmparser::Parser::new(0).parse_all(&tidy.bytes) {
            match payload.expect("a section") {
                Payload::ExportSection(exports) => {
                    let export = exports.into_iter().next().expect("one").expect("good");
                    assert_eq!(export.index, 3);
                }
                Payload::StartSection { func, .. } => assert_eq!(func, 2),
                Payload::ImportSection(imports) => {
                    let import = imports.into_imports().next().expect("one").expect("good");
                    assert_eq!(import.name, "i0");
                }
                Payload::CodeSectionEntry(body) => {
                    for operator in body.get_operators_reader().expect("a body") {
                        if let wasmparser::Operator::Call { function_index } =
                            operator.expect("an operator")
                        {
                            calls.push(function_index);
                        }
                    }
                }
                _ => {}
            }
        }
        assert_eq!(calls, [3, 1, 0]);
        let given = "{\n            i: function() {}\n        }";
        let script = tidy.script(given).expect("it gives the import");
        assert_eq!(script, "{\n            i0: function() {}\n        }");
        assert!(tidy.script("{}").is_err());
    }
}
