-- SPDX-License-Identifier: Apache-2.0
-- What is usual where a yard counts in millimetres, and where it counts in feet and inches.

local measures = {}

function measures.metric() return counts_in() == "mm" end

-- In mm: so many millimetres, or so many inches.
function measures.usual(millimetres, inches)
  return measures.metric() and millimetres or inches * 25.4
end

-- A length rounded to a step of the yard's own measure.
function measures.to_step(value, step_mm, step_in)
  local step = measures.usual(step_mm, step_in)
  return math.floor(value / step + 0.5) * step
end

return measures
