// node bench.cjs MODULE: times bracing decisions in wasm; one line a figure.
process.stdout.write(require(process.argv[2]).measure());
