-- SPDX-License-Identifier: Apache-2.0
-- What holds for every seat of slats: its height, the gaps between its slats, how far they span.

local seats = {}

function seats.check_height(c)
  local height = mm(c.seat_height)
  if height < 430 or height > 480 then
    remark("seat_height", "a seat of " .. print_length(c.seat_height) .. " is out of the 430 to 480 that suits most",
      "right for children (300 to 380) or to rise from easily (up to 500)")
  end
end

-- The gap between the slats of a seat so deep, with its derivation; refused where they do not fit.
function seats.gap(c, depth)
  local gap = derive("gap", (mm(depth) - c.slats * mm(c.slat.width)) / (c.slats - 1), "(depth − " .. c.slats .. " slats) / " .. (c.slats - 1), depth, c.slat.width)
  if mm(gap) < 3 then
    refuse("slats", c.slats .. " slats of " .. c.slat.name .. " do not fit into " .. print_length(depth), "give fewer, or a deeper seat")
  end
  return gap
end

function seats.mind_fingers(gap)
  if mm(gap) > 8 and mm(gap) < 25 then
    remark("slats", "gaps of " .. print_length(gap) .. " can catch a child's finger (8 to 25 mm)", "another count of slats, or another depth")
  end
end

-- So many slats as come nearest to a depth, with gaps of 5 to 7: water runs off, and no finger is caught (8 to 25 catch one).
function seats.slats(c, depth) return math.max(2, math.floor((depth + 6) / (mm(c.slat.width) + 6) + 0.5)) end
function seats.depth(c) return c.slats * mm(c.slat.width) + (c.slats - 1) * 6 end

-- Two slats share somebody of 1112 N: so far may each span (computed, L/150).
function seats.longest_span(slat)
  local t = mm(slat.thickness)
  return t < 25 and 350 or t < 34 and 620 or t < 42 and 900 or 1460
end

return seats
