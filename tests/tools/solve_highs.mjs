// SPDX-License-Identifier: Apache-2.0
// Solves a programme in LP format with HiGHS: node solve_highs.mjs MODEL.lp SECONDS
// Prints status, objective and the seconds of the solving alone (loading the solver is not counted).
import { readFileSync } from 'node:fs';
import load from 'highs';

const [, , path, limit] = process.argv;
const highs = await load();
const model = readFileSync(path, 'utf8');
const start = process.cpuUsage();
const answer = highs.solve(model, { time_limit: Number(limit), mip_rel_gap: 0, output_flag: false });
const spent = process.cpuUsage(start);
console.log(JSON.stringify({
  status: answer.Status,
  objective: answer.ObjectiveValue,
  seconds: (spent.user + spent.system) / 1e6,
}));
