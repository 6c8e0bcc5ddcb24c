-- SPDX-License-Identifier: Apache-2.0
-- A bed at the height of a table, for who gardens sitting: a shallow box of boards on bearers between pairs of legs, open
-- below for knees or a wheelchair. The legs stand outside the boards, so that the soil presses the boards against them.
--
--   x  along the long side, 0 at the left end of the boards
--   y  from the outer face of the front boards to the back
--   z  up from the highest ground under it
--
--      ║══════════════║   boards round the soil
--      ║▭▭▭▭▭▭▭▭▭▭▭▭▭▭║   floor, with gaps that drain
--      ║ ▪    ▪     ▪ ║   bearers beside the legs
--      ║              ║
--      ╨      ╨       ╨

local measures = shared "measures"

local pattern = {
  name = "table-bed",
  title = "Table bed",
  help = "A shallow bed on legs at the height of a table, with room for knees below.",
  choices = {
    { name = "length", unit = "length", least = 700, most = 3600, group = "Size",
      default = function() return measures.usual(1800, 72) end, help = "over the boards, along the front" },
    { name = "width", unit = "length", least = 400, most = 1200, group = "Size",
      default = function() return measures.usual(800, 32) end, help = "over the boards, front to back: 600 from one side, 1200 from both" },
    { name = "clear", unit = "length", least = 500, most = 900, group = "Size",
      default = function() return measures.usual(680, 27) end, help = "clear below the bearers: 660 to 690 (26 to 27 in) for knees and armrests" },
    { name = "courses", unit = "count", least = 1, most = 2, default = 1, group = "Size", help = "boards above one another; each makes the rim higher to reach over" },
    { name = "board", unit = "section", role = "beam_large", group = "Timber", help = "boards round the soil" },
    { name = "floor", unit = "section", role = "deck", group = "Timber", help = "boards of the floor" },
    { name = "floor_gap", unit = "length", least = 3, most = 12, default = 8, group = "Kind", help = "between the boards of the floor, for water" },
    { name = "bearer", unit = "section", role = "frame", group = "Timber", help = "bearers from leg to leg" },
    { name = "leg", unit = "section", role = "post", group = "Timber", help = "legs" },
    { name = "leg_every", unit = "length", least = 400, most = 1500, group = "Timber",
      -- The floor spans from bearer to bearer under wet soil (computed: 28 mm bear 200 mm of it over 950).
      default = function() return measures.usual(950, 30) end, help = "farthest from leg to leg, middle to middle" },
    { name = "in_ground", unit = "length", least = 300, most = 1000, group = "Ground",
      -- Legs that sway turn their bearers, which pull the floor's screws.
      default = function() return measures.usual(750, 26) end, help = "how far the legs stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 600, default = 300, group = "Ground", help = "width of the holes" },
    { name = "soil_below_rim", unit = "length", least = 0, most = 100, default = 25, group = "Soil", help = "soil below the rim" },
    { name = "settle", unit = "number", least = 0, most = 0.5, default = 0.15, group = "Soil", help = "how much more to order, as it settles" },
    { name = "bag", unit = "number", least = 10, most = 1500, default = 60, group = "Soil", help = "litres of a bag of soil" },
  },
}

function pattern.build(c)
  local L, W, t, q, bt = c.length, c.width, c.board.thickness, c.leg.width, c.bearer.thickness
  local high = c.courses * c.board.width
  local depth = high - c.floor.thickness - c.soil_below_rim
  if mm(depth) < 90 then
    refuse("courses", "there is room for " .. print_length(depth) .. " of soil", "wider boards, or one course more")
  end
  for _, section in ipairs({ "board", "floor" }) do
    if mm(L) > mm(longest_sold(c[section])) then
      refuse("length", "boards of " .. print_length(L) .. " are longer than any " .. c[section].name .. " that the yard sells", "a shorter bed, or two")
    end
  end
  local rim = c.clear + c.bearer.width + high
  if mm(rim) > 1000 then
    remark("clear", "its rim stands " .. print_length(rim) .. " above the ground: who sits reaches over 900 to 1000", "narrower boards or bearers")
  end

  -- ---- legs, in pairs, and a bearer beside each pair ---------------------------------------------------------------------
  local base = nil
  for _, x in ipairs({ 0, mm(L) }) do
    for _, y in ipairs({ -1 * mm(q), mm(W) + mm(q) }) do
      local level = ground_at(x, y)
      if not base or level > base then base = level end
    end
  end
  local under = base + c.clear                   -- of the bearers
  local on = under + c.bearer.width              -- of floor and boards
  local n = math.max(2, math.ceil((mm(L) - 80 - mm(q)) / mm(c.leg_every) - 1e-9) + 1)
  local legs, bearers = { front = {}, back = {} }, {}
  local function leg(row, i, x, y)
    local ground = ground_at(x + q / 2, y + q / 2)
    -- Who leans on it leans on the box: a leg is no post of its own.
    local piece = place { name = "leg", where = row .. " " .. i, role = "post", duty = "seat", section = c.leg, runs = "up", wide = "back",
      length = on + high - ground + c.in_ground, at = { x = x, y = y, z = ground - c.in_ground } }
    post_in_ground(piece, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
    table.insert(legs[row], piece)
    return piece
  end
  local let_in, inset = named("let in", 15), named("inset", 40)   -- so that the boards' bolts stand clear of their ends
  for i, x in ipairs(spread { count = n, from = inset, to = L - inset, width = q }) do
    local pair = { leg("front", i, x, -1 * q), leg("back", i, x, W) }
    local bearer = place { name = "bearer", where = "number " .. i, role = "beam", duty = "beam", section = c.bearer, runs = "back", wide = "up",
      length = W + 2 * q + 60, at = { x = i == n and x - bt + let_in or x + q - let_in, y = -1 * q - 30, z = under } }
    for _, one in ipairs(pair) do
      -- The soil's weight lies on the legs' shoulders, not on the bolt.
      notch(bearer, one, { into = i == n and "right" or "left", share = 0 })
      connect { bodies = { bearer, one }, kinds = { "bolt", "coach bolt" }, count = 1, most = 1, least = 7.5, load = 1500 }
    end
    table.insert(bearers, bearer)
  end

  -- ---- boards round it, inside the legs -------------------------------------------------------------------------------------
  local before = {}
  for course = 1, c.courses do
    local z = on + c.board.width * (course - 1)
    local function board(name, where, along, x, y, length)
      local piece = place { name = name, where = where .. " course " .. course, role = "board", duty = "soil", section = c.board, runs = along, wide = "up",
        length = length, at = { x = x, y = y, z = z } }
      if course == 1 then rest(piece, bearers, "held by the legs") end
      rest(piece, before, "held by the legs")
      return piece
    end
    local front, back = board("long board", "front", "right", 0, 0, L), board("long board", "back", "right", 0, W - t, L)
    for _, row in ipairs({ { front, legs.front }, { back, legs.back } }) do
      for _, one in ipairs(row[2]) do
        meet(row[1], one)
        connect { bodies = { row[1], one }, kinds = { "bolt", "coach bolt", "structural screw", "screw" }, count = 1, least = 7.5, load = 900 }
      end
    end
    local ends = { board("end board", "left", "back", 0, t, W - 2 * t), board("end board", "right", "back", L - t, t, W - 2 * t) }
    for _, piece in ipairs(ends) do
      for _, side in ipairs({ front, back }) do
        meet(piece, side)
        connect { bodies = { side, piece }, kinds = { "angle bracket", "structural screw" }, count = 1, least = 4.5, load = 700 }
      end
    end
    before = { front, back, ends[1], ends[2] }
  end

  -- ---- the floor, between them -------------------------------------------------------------------------------------------------
  local from, to = t + named("clear of the boards", 4), W - t - named("clear of the boards", 4)
  local w, g = mm(c.floor.width), mm(c.floor_gap)
  local count = math.max(1, math.floor((mm(to) - mm(from) + g) / (w + g) + 1e-9))
  local rest_of = mm(to) - mm(from) - count * (w + g) + g
  -- What is left over is one ripped board where it is more than water's way.
  local ripped = rest_of - g > 30 and named("last board", rest_of - g) or nil
  local y = from
  local gap = ripped and named("gap", g) or count > 1 and named("gap", g + rest_of / (count - 1)) or named("gap", g)
  for k = 1, count + (ripped and 1 or 0) do
    local narrow = k > count and ripped or nil
    local piece = place { name = "floor board", where = "number " .. k, role = "board", duty = "soil", section = c.floor, runs = "right", wide = "back", ripped = narrow,
      length = L - 2 * t - 8, at = { x = t + 4, y = y, z = on } }
    for _, bearer in ipairs(bearers) do
      if try_meet(piece, bearer) then fix { through = { piece, bearer }, count = narrow and 1 or 2, least = 4 } end
    end
    y = y + (narrow or c.floor.width) + gap
  end

  local volume = (mm(L) - 2 * mm(t)) * (mm(W) - 2 * mm(t)) * mm(depth) / 1e9
  local order = volume * (1 + c.settle)
  remark("soil_below_rim", string.format("it takes %.3f m³ of soil, %.0f mm deep and about %.0f kg wet; order %.3f m³ as it settles: %d bags of %g l", volume, mm(depth),
    volume * 1800, order, math.ceil(order * 1000 / c.bag - 1e-9), c.bag), "a fleece on the floor keeps it from washing out; soil is in no yard's price list here")
end

return pattern
