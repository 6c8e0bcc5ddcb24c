-- SPDX-License-Identifier: Apache-2.0
-- wrk's script: the example arbor with another opening and height each time, so that nothing comes from the cache.
local job = assert(io.open("examples/arbor.toml")):read("a")
local path = os.getenv("GARTHWRIGHT_PATH") or "/api/v1/quick"
local threads = 0

function setup(thread)
  thread:set("number", threads)
  threads = threads + 1
end

function init()
  math.randomseed(1000 * number + 7)
  wrk.method = "POST"
  wrk.headers["Content-Type"] = "application/toml"
  wrk.headers["Accept-Encoding"] = "gzip"
end

function request()
  -- 601 openings × 201 heights, by whole millimetres as a slider gives them: hardly ever the same twice. Tenths make
  -- the cutting problem finer, and its search several times longer.
  local opening = string.format("opening = %d", math.random(1200, 1800))
  local height = string.format('height = "%d mm"', math.random(2100, 2300))
  local text = job:gsub("opening = 1350", opening):gsub('height = "2.2 m"', height)
  return wrk.format(nil, path, nil, text)
end

function response(status)
  if status ~= 200 then other = (other or 0) + 1 end
end

function done(summary, latency)
  io.write(string.format("p50 %.1f ms, p99 %.1f ms, most %.1f ms; %d answers, %.1f a second; errors: %d of status, %d other\n",
    latency:percentile(50) / 1000, latency:percentile(99) / 1000, latency.max / 1000, summary.requests,
    summary.requests / summary.duration * 1e6, summary.errors.status,
    summary.errors.connect + summary.errors.read + summary.errors.write + summary.errors.timeout))
end
