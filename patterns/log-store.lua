-- SPDX-License-Identifier: Apache-2.0
-- A lean-to for logs or bins: four posts, a roof of boards that falls to the back, a slatted floor off the ground and
-- slats at both sides and the back that let the wind through.
--
--   x  along the front, 0 at the left post's outer face
--   y  from the front posts' front faces to the back
--   z  up from the ground at the origin
--
--       ▬▬▬▬▬▬▬▬▬▬▬▬▬   roof boards on three rafters
--       ║           ▬▬║
--       ║             ║  front open
--       ║▭▭▭▭▭▭▭▭▭▭▭▭▭║  floor on bearers
--       ╨             ╨

local pattern = {
  name = "log-store",
  title = "Log store",
  help = "A lean-to on four posts with a roof that falls to the back, a slatted floor, and slatted sides and back.",
  choices = {
    { name = "width", unit = "length", least = 800, most = 3600, default = 1800, group = "Size", help = "over the posts, along the front" },
    { name = "depth", unit = "length", least = 400, most = 1500, default = 700, group = "Size", help = "over the posts, front to back" },
    { name = "height", unit = "length", least = 800, most = 2400, default = 1700, group = "Size", help = "of the front posts above the ground" },
    { name = "fall", unit = "number", least = 5, most = 30, default = 10, group = "Size", help = "degrees that the roof falls to the back" },
    { name = "overhang", unit = "length", least = 0, most = 400, default = 120, group = "Size", help = "roof beyond the posts, front and back" },
    { name = "floor", unit = "yes-no", default = true, group = "Kind", help = "a slatted floor; without, for bins" },
    { name = "slat", unit = "section", role = "cap", group = "Timber", help = "slats of floor, sides and back" },
    { name = "board", unit = "section", role = "board", group = "Timber", help = "boards of the roof" },
    { name = "rafter_every", unit = "length", least = 300, most = 1200, default = 600, group = "Timber", help = "farthest from rafter to rafter" },
    { name = "gap", unit = "length", least = 5, most = 120, default = 40, group = "Kind", help = "between the slats of sides and back" },
    { name = "post", unit = "section", role = "post", group = "Timber", help = "posts" },
    { name = "bearer", unit = "section", role = "rail", group = "Timber", help = "bearers of the floor" },
    { name = "rafter", unit = "section", role = "rafter", group = "Timber", help = "rafters" },
    { name = "in_ground", unit = "length", least = 300, most = 1200, default = 600, group = "Ground", help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 600, default = 300, group = "Ground", help = "width of the holes" },
  },
}

function pattern.build(c)
  local p, t = c.post.width, c.slat.thickness
  local slope = math.rad(c.fall)
  local tan = math.tan(slope)
  if mm(c.depth) * tan > mm(c.height) / 2 then
    refuse("fall", "the back would be less than half as high as the front", "a smaller fall or a shallower store")
  end

  -- Posts: their heads are cut to the fall, so that the rafters beside them and the boards above lie flat.
  local function post(where, x, y)
    local ground = ground_at(x + p / 2, y + p / 2)
    local piece = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "back",
      length = c.height - y * tan - ground + c.in_ground, at = { x = x, y = y, z = ground - c.in_ground } }
    bevel(piece, { ends = "finish", looks = { y = tan, z = 1 } })
    post_in_ground(piece, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
    return piece
  end
  local far = c.depth - p
  local left = { front = post("left front", 0, 0), back = post("left back", 0, far) }
  local right = { front = post("right front", c.width - p, 0), back = post("right back", c.width - p, far) }

  -- A rafter on the inner face of each pair of posts, and as many between them as the boards ask, on a head rail at the
  -- front and one at the back that lean as the roof does.
  local rafters = {}
  local function rafter(where, x)
    local function top(y) return c.height - y * tan end
    local from, to = -1 * c.overhang, c.depth + c.overhang
    local piece = lay { name = "rafter", where = where, role = "rafter", duty = "roof", section = c.rafter, wide = "up", edge = "high", lies = "right",
      from = { x = x, y = from, z = top(from) }, to = { x = x, y = to, z = top(to) } }
    table.insert(rafters, piece)
    return piece
  end
  for _, side in ipairs({ { "left", left, p }, { "right", right, c.width - p - c.rafter.thickness } }) do
    local piece = rafter(side[1], side[3])
    for _, one in ipairs({ side[2].front, side[2].back }) do
      meet(piece, one)
      connect { bodies = { piece, one }, kinds = { "bolt", "coach bolt", "coach screw", "screw" }, count = 2, least = 7.5, load = 1500 }
    end
  end

  local first, last = rafters[1], rafters[2]
  local between = math.max(0, math.ceil((mm(last.left) - mm(first.left)) / mm(c.rafter_every) - 1e-9) - 1)
  if between > 0 then
    local deep = c.rafter.width / math.cos(slope)
    local heads = {}
    for _, row in ipairs({ { "front", left.front, right.front, 20 }, { "back", left.back, right.back, c.depth - 20 - c.bearer.thickness } }) do
      local y = row[4]
      local z = c.height - y * tan - deep
      local rail = lay { name = "head rail", where = row[1], role = "beam", duty = "beam", section = c.bearer, wide = "up", edge = "high", turn = -1 * c.fall,
        lies = "back", from = { x = row[2].right, y = y, z = z }, to = { x = row[3].left, y = y, z = z } }
      for _, one in ipairs({ row[2], row[3] }) do
        meet(rail, one)
        connect { bodies = { one, rail }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 800 }
      end
      rest(rail, { first, last }, "fixed to the posts beside it")
      table.insert(heads, rail)
    end
    for i = 1, between do
      local piece = rafter("middle " .. i, first.left + (last.left - first.left) * (i / (between + 1)))
      for _, rail in ipairs(heads) do
        meet(piece, rail)
        connect { bodies = { piece, rail }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 800 }
      end
    end
  end

  -- Roof boards along the front, a few millimetres apart: each falls with the roof, from the front edge to the back.
  local long = (c.depth + 2 * c.overhang) / math.cos(slope)
  local count = math.max(2, math.floor((mm(long) + 4) / (mm(c.board.width) + 4)))
  local step = (mm(long) - mm(c.board.width)) / (count - 1)
  for k = 0, count - 1 do
    local s = step * k
    local y, z = -1 * c.overhang + s * math.cos(slope), c.height + c.overhang * tan - s * math.sin(slope)
    local board = lay { name = "roof board", where = "number " .. (k + 1), role = "board", duty = "roof", section = c.board, wide = "back", turn = -1 * c.fall,
      lies = "up", from = { x = -1 * c.overhang, y = y, z = z }, to = { x = c.width + c.overhang, y = y, z = z } }
    for _, piece in ipairs(rafters) do
      meet(board, piece)
      fix { through = { board, piece }, count = 2, least = 4 }
    end
    rest(board, { left.front, left.back, right.front, right.back }, "screwed to the rafters")
  end

  -- The floor: bearers from front to back beside the posts, slats along on them.
  if c.floor then
    local bearers = {}
    for _, side in ipairs({ { "left", left, p }, { "right", right, c.width - p - c.bearer.thickness } }) do
      local piece = place { name = "bearer", where = side[1], role = "beam", duty = "walk", section = c.bearer, runs = "back", wide = "up",
        length = c.depth - 10, at = { x = side[3], y = 0, z = 120 } }
      for _, one in ipairs({ side[2].front, side[2].back }) do
        meet(piece, one)
        fix { through = { piece, one }, count = 2, least = 5.5 }
      end
      table.insert(bearers, piece)
    end
    local n = math.max(2, math.floor((mm(c.depth) + 20) / (mm(c.slat.width) + 20)))
    for k, y in ipairs(spread { count = n, from = 0, to = c.depth - 10, width = c.slat.width }) do
      local slat = place { name = "floor slat", where = "number " .. k, role = "board", duty = "walk", section = c.slat, runs = "right", wide = "back",
        length = c.width - 2 * p, at = { x = p, y = y, z = bearers[1].top } }
      for _, piece in ipairs(bearers) do
        meet(slat, piece)
        fix { through = { slat, piece }, count = 2, least = 4 }
      end
      rest(slat, { left.front, left.back, right.front, right.back }, "screwed to the bearers")
    end
  end

  -- Slats outside the posts: at both sides from front to back, at the back from side to side.
  local function slats(name, top, put)
    local n = math.max(1, math.floor((mm(top) - 120 + mm(c.gap)) / (mm(c.slat.width) + mm(c.gap))))
    for k, z in ipairs(spread { count = n, from = 120, to = top, width = c.slat.width }) do
      local slat, posts = put("number " .. k, z)
      for _, one in ipairs(posts) do
        meet(slat, one)
        fix { through = { slat, one }, count = 2, least = 4 }
      end
    end
  end
  local low = c.height - c.depth * tan - c.rafter.width / math.cos(slope) - 10
  slats("left", low, function(where, z)
    return place { name = "side slat", where = "left " .. where, role = "board", duty = "screen", carries = false, section = c.slat, runs = "back", wide = "up",
      length = c.depth, at = { x = -1 * t, y = 0, z = z } }, { left.front, left.back }
  end)
  slats("right", low, function(where, z)
    return place { name = "side slat", where = "right " .. where, role = "board", duty = "screen", carries = false, section = c.slat, runs = "back", wide = "up",
      length = c.depth, at = { x = c.width, y = 0, z = z } }, { right.front, right.back }
  end)
  slats("back", low, function(where, z)
    return place { name = "back slat", where = where, role = "board", duty = "screen", carries = false, section = c.slat, runs = "right", wide = "up",
      length = c.width, at = { x = 0, y = c.depth, z = z } }, { left.back, right.back }
  end)
end

return pattern
