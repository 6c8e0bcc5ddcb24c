-- SPDX-License-Identifier: Apache-2.0
-- A planter: a box or trough of mitred boards, straight or wider at the top, on bearers that keep it off the ground, with
-- an open floor. It stands loose: its weight holds it. Plumb boards are screwed to posts inside the corners; leaning ones are
-- held by brackets there, for screws through a mitre would end in end grain.
--
--   x  along the front, 0 at the left outer corner of its foot
--   y  from the foot of its front face to the back
--   z  up from what it stands on
--
--      ╲══════════╱
--       ╲════════╱    boards lean out by `splay`; corners are cut from corner to corner
--        ╲══════╱
--        ▪ ▪  ▪ ▪     bearers

local measures = shared "measures"

local pattern = {
  name = "planter",
  title = "Planter",
  help = "A box or trough of mitred boards, straight or tapered, with an open floor on bearers.",
  choices = {
    { name = "length", unit = "length", least = 250, most = 2400, default = 900, group = "Size", help = "along the front, at the foot, outside" },
    { name = "width", unit = "length", least = 250, most = 1200, default = 400, group = "Size", help = "front to back, at the foot, outside" },
    { name = "board", unit = "section", role = "ledge", group = "Timber",
      -- Thin ones bow over more than this under wet soil, and prise at the corners' screws.
      default = function(c) return measures.metric() and mm(c.length) > 1000 and "beam" or nil end, help = "boards of the sides" },
    { name = "courses", unit = "count", least = 1, most = 6, group = "Size",
      default = function(c) return math.max(1, math.floor(400 / mm(c.board.width) + 0.5)) end, help = "boards above one another" },
    { name = "splay", unit = "number", least = 0, most = 20, default = 0, group = "Shape", help = "degrees that its sides lean out from plumb" },
    { name = "corner", unit = "section", role = "purlin", group = "Timber",
      -- Screws through boards of 28 want 50 and more from their ends.
      default = function(c)
        if measures.metric() and c.splay == 0 and mm(c.board.thickness) > 35 then return "beam" end
        return (measures.metric() or c.splay ~= 0) and "rail" or nil
      end,
      help = "posts inside the corners of plumb sides, their wide side along the front; battens behind leaning ones" },
    { name = "bearer", unit = "section", role = "purlin", group = "Timber",
      -- Deep enough for the brackets of battens that lean.
      default = function(c) return c.splay ~= 0 and "rail" or nil end, help = "bearers below the floor" },
    { name = "floor", unit = "section", role = "gravel_board", group = "Timber", help = "boards of the floor" },
    { name = "feet", unit = "length", least = 10, most = 40, default = 25, group = "Size", help = "sides clear of the ground" },
    { name = "bearer_every", unit = "length", least = 200, most = 900, default = 450, group = "Timber", help = "farthest between bearers" },
    { name = "soil_below_rim", unit = "length", least = 0, most = 150, default = 40, group = "Soil", help = "soil below the rim" },
    { name = "stands_on", unit = "option", options = { "ground", "paving", "deck" }, default = "ground", group = "Size", help = "what it stands on, loose" },
    { name = "wet_density", unit = "number", least = 800, most = 2200, default = 1600, group = "Soil", help = "kg/m³ of wet soil: 900 to 1200 for mixes, 1600 to 2000 for earth" },
  },
}

function pattern.build(c)
  local a = math.rad(c.splay)
  local cos, sin, tan = math.cos(a), math.sin(a), math.tan(a)
  local t, L, W = c.board.thickness, c.length, c.width
  local step = c.board.width * cos           -- what a course rises
  local high = c.courses * step
  local group = c.splay ~= 0 and "box" or ""
  if c.bearer.width + c.floor.thickness >= high / 2 then
    refuse("courses", "the floor would take up half of a planter " .. print_length(high) .. " high", "more courses or wider boards")
  end
  if c.splay == 0 and mm(W) < 2 * mm(t) + 2 * mm(c.corner.thickness) + 20 then
    refuse("width", "there is no room between the corner posts", "at least " .. print_length(2 * t + 2 * c.corner.thickness + 20))
  end
  -- How far a face has leant out at a height above the boards' foot.
  local function out(z) return z * tan end

  -- What soil presses against a course over half the length, with somebody beside it and half as much again, N: at rest, as the
  -- checks take it, shared by the corners.
  local push = 1.6 * 1.5 * 0.5 * (18 * mm(high) / 1000 + 2.5) * mm(step) / 1000 * mm(most(L, W)) / 2
  local metric = measures.metric()
  local thin = metric and 3.9 or 4.7   -- thinner ones reach too little into what is behind
  -- Screws at a corner post, each for so much of the push; the American ones are stouter, and two do.
  local function screws(each) return math.max(2, math.ceil(push / each)) end
  -- Brackets sit where nothing else is, so they come when all stands.
  local corners = {}

  -- ---- sides: every course is a ring of four, each laid along its top outer edge and cut to the corners -----------------------
  local rings = {}
  for k = 1, c.courses do
    local z = c.feet + k * step
    local o = out(k * step)
    local x0, x1, y0, y1 = -1 * o, L + o, -1 * o, W + o
    local function side(where, name, from, to, inward, turn, start, finish)
      local piece = lay { name = name, group = group, where = where .. " course " .. k, role = "board", duty = "soil", section = c.board, wide = "up", edge = "high",
        lies = inward, turn = turn, ends = "square", from = { x = from[1], y = from[2], z = z }, to = { x = to[1], y = to[2], z = z } }
      bevel(piece, { ends = "start", looks = start })
      bevel(piece, { ends = "finish", looks = finish })
      return piece
    end
    local ring = {
      side("front", "long board", { x0, y0 }, { x1, y0 }, "back", c.splay, { x = -1, y = 1 }, { x = 1, y = 1 }),
      side("right", "short board", { x1, y0 }, { x1, y1 }, "left", c.splay, { x = -1, y = -1 }, { x = -1, y = 1 }),
      side("back", "long board", { x1, y1 }, { x0, y1 }, "front", c.splay, { x = 1, y = -1 }, { x = -1, y = -1 }),
      side("left", "short board", { x0, y1 }, { x0, y0 }, "right", c.splay, { x = 1, y = 1 }, { x = 1, y = -1 }),
    }
    for i = 1, 4 do
      local one, other = ring[i], ring[i % 4 + 1]
      meet(one, other, "mitre")
      if c.splay == 0 then
        rest(one, { other }, "both screwed to the post inside the corner")
      else
        table.insert(corners, { one, other })
      end
    end
    if rings[k - 1] then
      for i = 1, 4 do rest(ring[i], { rings[k - 1][i] }, "held at the corners") end
    end
    rings[k] = ring
  end

  -- ---- corner posts inside, where the sides are plumb ----------------------------------------------------------------------
  -- Where they lean, upright battens behind the long boards hold the courses on one another.
  local posts = {}
  local room = named("room for the corner's brackets", 62)
  local off_ground = least(c.feet, named("off the ground", 3))
  local function inner(z) return t / cos - out(z - mm(c.feet)) end      -- front boards' inner face at a height
  if c.splay ~= 0 then
    local low, head = off_ground, c.feet + high - 20
    for _, at in ipairs({ { "left", t / cos + room }, { "right", L - t / cos - room - c.corner.width } }) do
      for _, row in ipairs({ { "front", "back", function(z) return inner(mm(z)) end, 1 },
        { "back", "front", function(z) return W - inner(mm(z)) end, 3 } }) do
        local batten = lay { name = "corner post", group = group, where = at[1] .. " " .. row[1], role = "batten", section = c.corner,
          wide = "right", edge = "low", lies = row[2], ends = "level",
          from = { x = at[2], y = row[3](low), z = low }, to = { x = at[2], y = row[3](head), z = head } }
        table.insert(posts, batten)
        for _, ring in ipairs(rings) do
          meet(ring[row[4]], batten)
          connect { bodies = { ring[row[4]], batten }, kinds = { "screw", "structural screw" }, count = metric and screws(300) or 2,
            least = thin, load = metric and math.max(400, push) or 400 }
        end
      end
    end
  end
  if c.splay == 0 then
    for _, corner in ipairs({ { "left front", t, t }, { "right front", L - t - c.corner.width, t },
      { "left back", t, W - t - c.corner.thickness }, { "right back", L - t - c.corner.width, W - t - c.corner.thickness } }) do
      local post = place { name = "corner post", where = corner[1], role = "batten", section = c.corner, runs = "up", wide = "right",
        length = high - 20 + c.feet - off_ground, at = { x = corner[2], y = corner[3], z = off_ground } }
      for _, ring in ipairs(rings) do
        for i, side in ipairs(ring) do
          -- Screws of the two boards pass one another in the post. Through thin short boards they would stand too near the mitre.
          if try_meet(side, post) then
            if i % 2 == 1 then
              connect { bodies = { side, post }, kinds = { "screw", "structural screw" }, count = mm(t) < 35 and screws(210) or metric and screws(420) or 2,
                least = metric and mm(t) > 35 and 4.4 or thin, load = push }
            elseif mm(t) < 35 or metric then
              table.insert(corners, { side, post })
            else
              connect { bodies = { side, post }, kinds = { "screw", "structural screw" }, count = mm(L) > 1000 and 2 or 1, least = thin, load = push * mm(W) / mm(L) }
            end
          end
        end
      end
      table.insert(posts, post)
    end
  end

  -- ---- bearers, and the floor on them with gaps that drain --------------------------------------------------------------------
  -- The outer ones stand against the corner posts, which hang on them; those between lie under the floor alone.
  local top = c.bearer.width
  local beside = c.splay == 0 and c.corner.width or c.corner.width + room
  local first, last = t / cos + beside, L - t / cos - beside
  if mm(last) - mm(first) < 2 * mm(c.bearer.thickness) + 20 then
    refuse("length", "there is no room for two bearers between the corner posts",
      "at least " .. print_length(c.length - last + first + 2 * c.bearer.thickness + 20))
  end
  local n = math.max(2, math.ceil((mm(last) - mm(first)) / mm(c.bearer_every) - 1e-9) + 1)
  local bearers = {}
  for i, x in ipairs(spread { count = n, from = first, to = last, width = c.bearer.thickness }) do
    local front_y, back_y = inner(mm(top)), W - inner(mm(top))
    local piece = lay { name = "bearer", group = group, where = "number " .. i, role = "other", section = c.bearer, wide = "up", edge = "high", lies = "right",
      ends = "square", from = { x = x, y = front_y, z = top }, to = { x = x, y = back_y, z = top } }
    if c.splay ~= 0 then
      bevel(piece, { ends = "start", looks = { y = -1 * cos, z = -1 * sin } })
      bevel(piece, { ends = "finish", looks = { y = cos, z = -1 * sin } })
    end
    rest(piece, { rings[1][1], rings[1][3] }, "screwed to the corner posts, or to the floor")
    for _, post in ipairs(posts) do
      if try_meet(post, piece) then
        connect { bodies = { post, piece }, kinds = { "angle bracket", "screw" }, count = 1, least = thin, load = 300 }
      end
    end
    table.insert(bearers, piece)
  end
  local from, to = inner(mm(top)), W - inner(mm(top))
  local wide, gap, edge = mm(c.floor.width), 8, mm(L) > 1000 and 32 or 18   -- so that its screws stand clear of the bearers' ends
  local count = math.max(1, math.floor((mm(to) - mm(from) - 2 * edge + gap) / (wide + gap)))
  -- What is over goes into the gaps, or makes one ripped board.
  local over = mm(to) - mm(from) - 2 * edge + gap - count * (wide + gap)
  local ripped = over > 45 and named("last board", over - gap) or nil
  if not ripped then edge, gap = edge + over / (count + 1), gap + over / (count + 1) end
  local floor_from, floor_length = bearers[1].left + 4, bearers[n].right - bearers[1].left - 8
  for k = 1, count + (ripped and 1 or 0) do
    local y = from + named("off the boards", edge) + (c.floor.width + named("gap", gap)) * (k - 1)
    local narrow = k > count and ripped or nil
    local piece = place { name = "floor board", where = "number " .. k, role = "board", duty = "soil", section = c.floor, runs = "right", wide = "back",
      ripped = narrow, length = floor_length, at = { x = floor_from, y = y, z = top } }
    for _, bearer in ipairs(bearers) do
      meet(piece, bearer)
      connect { bodies = { piece, bearer }, kinds = { "screw" }, count = narrow and mm(narrow) < 100 and 1 or 2, most = 3, least = thin, load = 200, alike = narrow and "last floor board" or "floor board" }
    end
  end
  for _, pair in ipairs(corners) do
    connect { bodies = pair, kinds = { "angle bracket" }, count = 1, least = 3.5, load = push }
  end

  if mm(L) > 45 * mm(t) then
    remark("length", "boards " .. print_length(t) .. " thick bow over " .. print_length(L) .. " under wet soil", "thicker boards, a shorter planter, or a strap across at mid-length")
  end

  -- The lowest screws of leaning sides want more room than the ground leaves: it is made on trestles and set down.
  if group ~= "" then assembly(group) end

  -- Nothing but its weight holds it. Dry, soil weighs about 400 kg/m³ less than wet (our own: earth of 1600 dries to 1200, a
  -- mix of 900 to 500).
  local deep = mm(high) - (mm(top) + mm(c.floor.thickness) - mm(c.feet))
  stand_loose(bearers, { on = c.stands_on, soil = math.max(0, c.wet_density - 400) * (deep - mm(c.soil_below_rim)) / deep })

  -- ---- what it holds and weighs --------------------------------------------------------------------------------------------
  local depth = mm(high) - (mm(top) + mm(c.floor.thickness) - mm(c.feet)) - mm(c.soil_below_rim)
  local function inside(z) return { mm(L) - 2 * mm(t) / cos + 2 * out(z), mm(W) - 2 * mm(t) / cos + 2 * out(z) } end
  local low, rim = inside(mm(top) + mm(c.floor.thickness) - mm(c.feet)), inside(mm(high) - mm(c.soil_below_rim))
  local volume = depth / 6 * (low[1] * low[2] + rim[1] * rim[2] + (low[1] + rim[1]) * (low[2] + rim[2])) / 1e6
  local mass = volume / 1000 * c.wet_density
  local pressure = mass * 9.81 / (mm(L) * mm(W)) * 1000
  remark("wet_density", string.format("it holds %.1f l and weighs about %.0f kg wet: %.1f kPa on its footprint", volume, mass, pressure),
    pressure > 1.9 and "more than the 1.9 kPa that a deck is made for: stand it over beams, or on the ground" or "")
end

return pattern
