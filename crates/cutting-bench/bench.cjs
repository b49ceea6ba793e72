// node bench.cjs MODULE SET < jobs: times a set of jobs in wasm; one line a figure.
const { measure } = require(process.argv[2]);
const text = require("node:fs").readFileSync(0, "utf8");
process.stdout.write(measure(process.argv[3], text));
