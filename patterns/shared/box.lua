-- SPDX-License-Identifier: Apache-2.0
-- A box of mitred boards for soil, straight or wider at the top, on bearers that keep it off the ground, with an open floor: what
-- planters are, and the ends of a bench between two of them. Its zero is the left outer corner of its foot, at its front.

local measures = shared "measures"

local box = {}

-- The choices of what it is made of; `length` is how long it is, of the choices above; `pulled` where something hangs on it.
function box.choices(length, pulled)
  return {
    { name = "board", unit = "section", role = "ledge", group = "Timber",
      help = "boards of the sides" },
    { name = "courses", unit = "count", least = 1, most = 6, group = "Size",
      default = function(c) return math.max(1, math.floor(400 / mm(c.board.width) + 0.5)) end, help = "boards above one another" },
    { name = "corner", unit = "section", role = "purlin", group = "Timber",
      -- Screws through boards of 28 want 50 and more from their ends.
      default = function(c)
        if measures.metric() and (c.splay or 0) == 0 and mm(c.board.thickness) > 35 then return "beam" end
        if measures.metric() and pulled then return "frame" end
        return (measures.metric() or (c.splay or 0) ~= 0) and "rail" or nil
      end,
      help = "posts inside the corners of plumb sides, their wide side along the front; battens behind leaning ones" },
    { name = "tie_every", unit = "length", least = 400, most = 2400, group = "Timber",
      -- Thin boards bow over more than this under wet soil, and prise at the corners' screws; where there are ties, each takes less.
      default = function(c)
        local leans, alone = (c.splay or 0) ~= 0, measures.usual(850, 50)
        if not pulled and mm(length(c)) <= alone then return alone end
        return measures.usual(leans and 550 or 650, leans and 30 or 50)
      end,
      help = "farthest along the long sides between corners and ties: pairs of battens with a tie low and one high" },
    { name = "batten", unit = "section", role = "rail", group = "Timber", help = "battens that the ties join, on edge" },
    { name = "bearer", unit = "section", role = "purlin", group = "Timber",
      -- Deep enough for the brackets of battens that lean; wide enough for the floor's screws where it is long.
      default = function(c) return ((c.splay or 0) ~= 0 or measures.metric() and (pulled or mm(length(c)) > 1100)) and "rail" or nil end,
      help = "bearers below the floor, flat where the sides are plumb; ties" },
    { name = "floor", unit = "section", role = "gravel_board", group = "Timber", help = "boards of the floor" },
    { name = "feet", unit = "length", least = 10, most = 40, default = 25, group = "Size", help = "sides clear of the ground" },
    { name = "bearer_every", unit = "length", least = 200, most = 900, default = 450, group = "Timber", help = "farthest between bearers" },
    { name = "soil_below_rim", unit = "length", least = 0, most = 150, default = function() return measures.usual(40, 1) end, group = "Soil", help = "soil below the rim" },
    { name = "stands_on", unit = "option", options = { "ground", "paving", "deck" }, default = "ground", group = "Size", help = "what it stands on, loose" },
    { name = "wet_density", unit = "number", least = 800, most = 2200, default = 1600, group = "Soil", help = "kg/m³ of wet soil: 900 to 1200 for mixes, 1600 to 2000 for earth" },
  }
end

-- Builds it `L` long and `W` wide; what is said of each piece's place begins with `whose`. Gives its pieces (`all`), its rings of
-- boards from below (each front, right, back, left), its bearers, and what wet soil in it comes to.
function box.build(c, L, W, whose, pulled)
  local splay = c.splay or 0
  local a = math.rad(splay)
  local cos, sin, tan = math.cos(a), math.sin(a), math.tan(a)
  local t = c.board.thickness
  local step = c.board.width * cos           -- what a course rises
  local high = c.courses * step
  local group = splay ~= 0 and "box" or ""
  local flat = splay == 0
  local bearer_high, bearer_wide = c.bearer.width, c.bearer.thickness
  if flat then bearer_high, bearer_wide = bearer_wide, bearer_high end
  if bearer_high + c.floor.thickness >= high / 2 then
    refuse("courses", "the floor would take up half of a planter " .. print_length(high) .. " high", "more courses or wider boards")
  end
  if splay == 0 and mm(W) < 2 * mm(t) + 2 * mm(c.corner.thickness) + 20 then
    refuse("width", "there is no room between the corner posts", "at least " .. print_length(2 * t + 2 * c.corner.thickness + 20))
  end
  -- How far a face has leant out at a height above the boards' foot.
  local function out(z) return z * tan end

  -- ---- ties: so many fields that none is longer than asked
  local fields = math.max(1, math.ceil(mm(L) / mm(c.tie_every) - 1e-9))

  -- What soil presses against a course over half the length, with somebody beside it and half as much again, N: at rest, as the
  -- checks take it, shared by the corners.
  local push = 1.6 * 1.5 * 0.5 * (18 * mm(high) / 1000 + 2.5) * mm(step) / 1000 * mm(most(L / fields, W)) / 2
  local metric = measures.metric()
  local thin = metric and 3.9 or 4.7   -- thinner ones reach too little into what is behind
  -- Screws at a corner post, each for so much of the push; the American ones are stouter, and two do.
  local function screws(each) return math.max(fields > 2 and 4 or 2, math.ceil(push / each)) end
  -- Brackets sit where nothing else is, so they come when all stands.
  local corners = {}
  local all = {}
  local function add(piece) table.insert(all, piece) return piece end

  -- ---- sides: every course is a ring of four, each laid along its top outer edge and cut to the corners -----------------------
  local rings = {}
  for k = 1, c.courses do
    local z = c.feet + k * step
    local o = out(k * step)
    local x0, x1, y0, y1 = -1 * o, L + o, -1 * o, W + o
    local function side(where, name, from, to, inward, turn, start, finish)
      local piece = add(lay { name = name, group = group, where = whose .. where .. " course " .. k, role = "board", duty = "soil", section = c.board, wide = "up", edge = "high",
        lies = inward, turn = turn, ends = "square", from = { x = from[1], y = from[2], z = z }, to = { x = to[1], y = to[2], z = z } })
      bevel(piece, { ends = "start", looks = start })
      bevel(piece, { ends = "finish", looks = finish })
      return piece
    end
    local ring = {
      side("front", "long board", { x0, y0 }, { x1, y0 }, "back", splay, { x = -1, y = 1 }, { x = 1, y = 1 }),
      side("right", "short board", { x1, y0 }, { x1, y1 }, "left", splay, { x = -1, y = -1 }, { x = -1, y = 1 }),
      side("back", "long board", { x1, y1 }, { x0, y1 }, "front", splay, { x = 1, y = -1 }, { x = -1, y = -1 }),
      side("left", "short board", { x0, y1 }, { x0, y0 }, "right", splay, { x = 1, y = 1 }, { x = 1, y = -1 }),
    }
    for i = 1, 4 do
      local one, other = ring[i], ring[i % 4 + 1]
      meet(one, other, "mitre")
      if splay == 0 then
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
  if splay ~= 0 then
    local low, head = off_ground, c.feet + high - 20
    for _, at in ipairs({ { "left", t / cos + room }, { "right", L - t / cos - room - c.corner.width } }) do
      for _, row in ipairs({ { "front", "back", function(z) return inner(mm(z)) end, 1 },
        { "back", "front", function(z) return W - inner(mm(z)) end, 3 } }) do
        local batten = add(lay { name = "corner post", group = group, where = whose .. at[1] .. " " .. row[1], role = "batten", section = c.corner,
          wide = "right", edge = "low", lies = row[2], ends = "level",
          from = { x = at[2], y = row[3](low), z = low }, to = { x = at[2], y = row[3](head), z = head } })
        table.insert(posts, batten)
        for _, ring in ipairs(rings) do
          meet(ring[row[4]], batten)
          connect { bodies = { ring[row[4]], batten }, kinds = { "screw", "structural screw" }, count = screws(metric and 220 or 600),
            least = thin, load = metric and math.max(400, push) or 400 }
        end
      end
    end
  end
  if splay == 0 then
    for _, corner in ipairs({ { "left front", t, t }, { "right front", L - t - c.corner.width, t },
      { "left back", t, W - t - c.corner.thickness }, { "right back", L - t - c.corner.width, W - t - c.corner.thickness } }) do
      local post = add(place { name = "corner post", where = whose .. corner[1], role = "batten", section = c.corner, runs = "up", wide = "right",
        length = high - 20 + c.feet - off_ground, at = { x = corner[2], y = corner[3], z = off_ground } })
      for _, ring in ipairs(rings) do
        for i, side in ipairs(ring) do
          -- Screws of the two boards pass one another in the post. Through thin short boards they would stand too near the mitre.
          if try_meet(side, post) then
            if i % 2 == 1 then
              connect { bodies = { side, post }, kinds = { "screw", "structural screw" }, count = mm(t) < 35 and screws(200) or metric and screws(340) or 2,
                least = metric and mm(t) > 35 and 4.4 or thin, load = push }
            elseif mm(t) < 35 or metric then
              table.insert(corners, { side, post })
            else
              connect { bodies = { side, post }, kinds = { "screw", "structural screw" }, count = (mm(L) > 1000 or pulled and mm(L) > 700) and 2 or 1, least = thin, load = push * mm(W) / mm(L) }
            end
          end
        end
      end
      table.insert(posts, post)
    end
  end

  -- ---- bearers, and the floor on them with gaps that drain --------------------------------------------------------------------
  -- The outer ones stand against the corner posts, which hang on them; those between lie under the floor alone.
  local top = bearer_high
  local beside = splay == 0 and c.corner.width or c.corner.width + room
  local first, last = t / cos + beside, L - t / cos - beside
  if mm(last) - mm(first) < 2 * mm(bearer_wide) + 20 then
    refuse("length", "there is no room for two bearers between the corner posts",
      "at least " .. print_length(L - last + first + 2 * bearer_wide + 20))
  end
  local n = math.max(2, math.ceil((mm(last) - mm(first)) / mm(c.bearer_every) - 1e-9) + 1)
  local bearers = {}
  for i, x in ipairs(spread { count = n, from = first, to = last, width = bearer_wide }) do
    local front_y, back_y = inner(mm(top)), W - inner(mm(top))
    local piece = add(lay { name = "bearer", group = group, where = whose .. "number " .. i, role = "other", section = c.bearer,
      wide = flat and "right" or "up", edge = flat and "low" or "high", lies = flat and "down" or "right",
      ends = "square", from = { x = x, y = front_y, z = top }, to = { x = x, y = back_y, z = top } })
    if splay ~= 0 then
      bevel(piece, { ends = "start", looks = { y = -1 * cos, z = -1 * sin } })
      bevel(piece, { ends = "finish", looks = { y = cos, z = -1 * sin } })
    end
    rest(piece, { rings[1][1], rings[1][3] }, "screwed to the corner posts, or to the floor")
    for _, post in ipairs(posts) do
      if try_meet(post, piece) then
        connect { bodies = { post, piece }, kinds = { "angle bracket", "screw" }, count = not metric and pulled and 3 or 1, least = thin, load = pulled and 900 or 300 }
      end
    end
    table.insert(bearers, piece)
  end
  local from, to = inner(mm(top)), W - inner(mm(top))
  local wide, gap, edge = mm(c.floor.width), 8, pulled and mm(c.corner.thickness) + 3 or mm(L) > 1000 and 34 or 18   -- so that its screws stand clear of the bearers' ends
  local count = math.max(1, math.floor((mm(to) - mm(from) - 2 * edge + gap) / (wide + gap)))
  -- What is over goes into the gaps, or makes one ripped board.
  local over = mm(to) - mm(from) - 2 * edge + gap - count * (wide + gap)
  local ripped = over > 45 and named("last board", over - gap) or nil
  if not ripped then edge, gap = edge + over / (count + 1), gap + over / (count + 1) end
  local over_ends = pulled and -8 or 2   -- past the bearers, beside the corner posts
  local floor_from, floor_length = bearers[1].left + over_ends, bearers[n].right - bearers[1].left - 2 * over_ends
  for k = 1, count + (ripped and 1 or 0) do
    local y = from + named("off the boards", edge) + (c.floor.width + named("gap", gap)) * (k - 1)
    local narrow = k > count and ripped or nil
    local piece = add(place { name = "floor board", where = whose .. "number " .. k, role = "board", duty = "soil", section = c.floor, runs = "right", wide = "back",
      ripped = narrow, length = floor_length, at = { x = floor_from, y = y, z = top } })
    for _, bearer in ipairs(bearers) do
      meet(piece, bearer)
      connect { bodies = { piece, bearer }, kinds = { "screw" }, count = (narrow and mm(narrow) < 100 or metric and mm(L) > 1100) and 1 or 2, most = 3, least = thin, load = 200, alike = narrow and "last floor board" or "floor board" }
    end
  end

  -- ---- battens between the corners, in pairs across, with a tie above the floor and one below the rim --------------------------
  local over_floor, below_rim = top + c.floor.thickness + named("above the floor", 5), c.feet + high - named("below the rim", 30)
  for i = 1, fields - 1 do
    local x = L * (i / fields) - c.batten.thickness
    local pair = {}
    for _, row in ipairs({ { "front", "back", function(z) return inner(mm(z)) end, 1 }, { "back", "front", function(z) return W - inner(mm(z)) end, 3 } }) do
      local batten = add(lay { name = "batten", group = group, where = whose .. row[1] .. " number " .. i, role = "batten", section = c.batten, wide = row[2],
        edge = "low", lies = "right", ends = "level", from = { x = x, y = row[3](over_floor), z = over_floor }, to = { x = x, y = row[3](below_rim), z = below_rim } })
      for _, ring in ipairs(rings) do
        if try_meet(ring[row[4]], batten) then
          -- Small heads would be drawn through the boards.
          connect { bodies = { ring[row[4]], batten }, kinds = { metric and "structural screw" or "screw" }, count = metric and 1 or 2, most = metric and 1 or 2,
            least = metric and 5.5 or thin, load = 1.2 * push }
        end
      end
      table.insert(pair, batten)
    end
    -- A tie beside them, from side to side.
    for _, z in ipairs({ over_floor + c.bearer.width + named("above the battens' feet", 10), below_rim - named("below the battens' heads", 10) }) do
      local near = inner(mm(z))
      local tie = add(lay { name = "tie", group = group, where = whose .. "number " .. i .. (z < c.feet + high / 2 and " low" or " high"), role = "other", section = c.bearer,
        wide = "up", edge = "high", lies = "right", ends = "square", from = { x = x + c.batten.thickness, y = near, z = z },
        to = { x = x + c.batten.thickness, y = W - near, z = z } })
      if splay ~= 0 then
        bevel(tie, { ends = "start", looks = { y = -1 * cos, z = -1 * sin } })
        bevel(tie, { ends = "finish", looks = { y = cos, z = -1 * sin } })
      end
      for _, ring in ipairs(rings) do rest(tie, { ring[1], ring[3] }, "held by the battens") end
      for _, batten in ipairs(pair) do
        meet(batten, tie)
        if metric then
          table.insert(corners, { batten, tie })
        else
          connect { bodies = { tie, batten }, kinds = { "screw" }, count = 4, least = thin, load = 2 * push }
        end
      end
    end
  end
  for _, pair in ipairs(corners) do
    connect { bodies = pair, kinds = { "angle bracket" }, count = 1, least = 3.5, load = push }
  end

  if mm(L) / fields > 45 * mm(t) then
    remark("tie_every", "boards " .. print_length(t) .. " thick bow over " .. print_length(L / fields) .. " under wet soil", "thicker boards, or ties closer to one another")
  end

  -- The lowest screws of leaning sides want more room than the ground leaves: it is made on trestles and set down.
  if group ~= "" then assembly(group) end

  -- Dry, soil weighs about 400 kg/m³ less than wet (our own: earth of 1600 dries to 1200, a mix of 900 to 500).
  local deep = mm(high) - (mm(top) + mm(c.floor.thickness) - mm(c.feet))
  local dry = math.max(0, c.wet_density - 400) * (deep - mm(c.soil_below_rim)) / deep

  -- ---- what it holds and weighs --------------------------------------------------------------------------------------------
  local depth = deep - mm(c.soil_below_rim)
  local function inside(z) return { mm(L) - 2 * mm(t) / cos + 2 * out(z), mm(W) - 2 * mm(t) / cos + 2 * out(z) } end
  local low, rim = inside(mm(top) + mm(c.floor.thickness) - mm(c.feet)), inside(mm(high) - mm(c.soil_below_rim))
  local volume = depth / 6 * (low[1] * low[2] + rim[1] * rim[2] + (low[1] + rim[1]) * (low[2] + rim[2])) / 1e6
  local mass = volume / 1000 * c.wet_density
  local pressure = mass * 9.81 / (mm(L) * mm(W)) * 1000
  remark("wet_density", string.format("%s holds %.1f l and weighs about %.0f kg wet: %.1f kPa on its footprint", whose == "" and "it" or "each box", volume, mass, pressure),
    pressure > 1.9 and "more than the 1.9 kPa that a deck is made for: stand it over beams, or on the ground" or "")
  return { all = all, rings = rings, bearers = bearers, dry_soil = dry, high = high }
end

return box
