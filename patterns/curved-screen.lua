-- SPDX-License-Identifier: Apache-2.0
-- A screen of upright laths round a curve: posts on an arc, straight rails from post to post, as chords.
--
--   x  along the string from the first post's middle to the last one's
--   y  from the outer side of the curve to the inner: the curve stands before the string
--   z  up from the ground at the first post
--
--            o ──── o
--         o            o       each rail's ends are bevelled to the posts' sides,
--       o                o     the posts are turned to the middle of the circle
--       └─── string ─────┘

local measures = shared "measures"

local pattern = {
  name = "curved-screen",
  title = "Curved screen",
  help = "Upright laths on rails between posts along an arc; the arc by its radius and angle, or by string and offset.",
  choices = {
    { name = "radius", unit = "length", least = 1500, most = 60000, default = 6000, group = "Size", help = "to the posts' middles" },
    { name = "angle", unit = "number", least = 10, most = 300, default = 90, group = "Size", help = "degrees that the curve turns" },
    { name = "max_chord", unit = "length", least = 500, most = 3000, default = 1800, group = "Size", help = "farthest from post to post, middle to middle" },
    { name = "height", unit = "length", least = 500, most = 2400, default = 1500, group = "Size", help = "of the posts above the ground" },
    { name = "rails", unit = "count", least = 2, most = 5, default = 3, group = "Kind", help = "rails of each bay" },
    { name = "lath_every", unit = "length", least = 60, most = 400, default = 150, group = "Kind", help = "farthest from lath to lath, middle to middle" },
    { name = "foot", unit = "length", least = 0, most = 300, default = 50, group = "Size", help = "laths clear of the ground" },
    { name = "post", unit = "section", role = "gate_post", group = "Timber", help = "posts" },
    { name = "rail", unit = "section", role = "rail", group = "Timber", help = "rails" },
    { name = "lath", unit = "section", role = "batten", group = "Timber", help = "laths" },
    { name = "in_ground", unit = "length", least = 300, most = 1500, group = "Ground",
      default = function() return measures.usual(1000, 46) end, help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 600, default = 300, group = "Ground", help = "width of the holes" },
  },
}

function pattern.build(c)
  local R, a = mm(c.radius), math.rad(c.angle)
  local reach = mm(c.max_chord) / (2 * R)
  if reach >= 1 then refuse("max_chord", "bays are wider than the circle", "a smaller max_chord") end
  local n = math.max(1, math.ceil(a / (2 * math.asin(reach)) - 1e-9))
  local half = a / (2 * n)                       -- half of what it turns at a post
  local chord = derive("chord", 2 * R * math.sin(half), "2 × radius × sin(" .. string.format("%.2f°", math.deg(half)) .. ")", c.radius)
  if math.deg(half) > 20 then
    refuse("max_chord", "the bays turn by " .. string.format("%.0f", 2 * math.deg(half)) .. " degrees at a post", "a smaller max_chord")
  end
  remark("radius", string.format("%d bays, each %.1f mm inside the curve in its middle; rail ends bevelled %.2f°; over all %.1f mm along the string "
    .. "and %.1f mm off it", n, R * (1 - math.cos(half)), math.deg(half), 2 * R * math.sin(a / 2), R * (1 - math.cos(a / 2))),
    "the posts' notes say where each stands")

  -- Where each post stands, and the way that its curve runs there.
  local at = {}
  for i = 0, n do
    local turn = -a / 2 + i * 2 * half
    local x, off = R * math.sin(a / 2) + R * math.sin(turn), R * math.cos(turn) - R * math.cos(a / 2)
    at[i] = { x = named("along the string", x), y = named("off the string", -off), turn = turn, ground = ground_at(x, -off) }
  end

  local posts = {}
  for i = 0, n do
    local p = at[i]
    local post = lay { name = "post", where = i == 0 and "first" or i == n and "last" or "number " .. (i + 1), role = "post", section = c.post,
      wide = "right", turn = math.deg(p.turn), edge = "middle", ends = "square", from = { x = p.x, y = p.y, z = p.ground - c.in_ground },
      to = { x = p.x, y = p.y, z = p.ground + c.height },
      note = print_length(p.x) .. " along the string, " .. print_length(-1 * p.y) .. " off it; turned to the middle of the circle" }
    post_in_ground(post, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
    posts[i] = post
  end

  local lath_length = c.height - c.foot
  local function lath(where, x, y, turn, ground, on)
    local piece = lay { name = "lath", where = where, role = "batten", duty = "screen", carries = false, section = c.lath, wide = "right", turn = math.deg(turn),
      edge = "middle", ends = "square", from = { x = x, y = y, z = ground + c.foot }, to = { x = x, y = y, z = ground + c.foot + lath_length } }
    for _, one in ipairs(on) do
      meet(piece, one)
      fix { through = { piece, one }, kind = { "nail", "screw" }, count = 1 }
    end
    return piece
  end

  local number = 0
  for i = 0, n - 1 do
    local p, q = at[i], at[i + 1]
    local turn = (p.turn + q.turn) / 2
    local ux, uy = math.cos(turn), math.sin(turn)
    local rails = {}
    local in_from = c.post.width / 2 / math.cos(half)
    for k = 1, c.rails do
      local up = 200 + (mm(c.height) - 400) * ((k - 1) / (c.rails - 1))
      local part = mm(in_from) / mm(chord)
      local rise = q.ground - p.ground
      local rail = lay { name = "rail", where = "bay " .. (i + 1) .. " number " .. k, role = "rail", section = c.rail, wide = "up", turn = 90,
        edge = "middle", from_turn = -math.deg(half), to_turn = math.deg(half),
        from = { x = p.x + in_from * ux, y = p.y + in_from * uy, z = p.ground + up + rise * part },
        to = { x = q.x - in_from * ux, y = q.y - in_from * uy, z = q.ground + up - rise * part },
        note = print_length(chord) .. " between the posts' middles; ends bevelled " .. string.format("%.2f°", math.deg(half)) }
      -- Flat, as wind is what bends them, and broad enough for a bracket on top or below in a corner that is not square.
      for _, post in ipairs({ posts[i], posts[i + 1] }) do
        meet(post, rail)
        connect { bodies = { post, rail }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 1250 }
      end
      table.insert(rails, rail)
    end
    -- Laths on the outer side: one on each post, the others on the rails.
    local out = c.rail.width / 2 + c.lath.thickness / 2
    local spaces = math.max(1, math.ceil(mm(chord) / mm(c.lath_every) - 1e-9))
    for k = 1, spaces - 1 do
      number = number + 1
      local s = mm(chord) * k / spaces
      local ground = p.ground + (q.ground - p.ground) * (k / spaces)
      lath("number " .. number, p.x + s * ux + out * uy, p.y + s * uy - out * ux, turn, ground, rails)
    end
  end
  for i = 0, n do
    local p = at[i]
    local out = c.post.thickness / 2 + c.lath.thickness / 2
    number = number + 1
    local piece = lath("number " .. number, p.x + out * math.sin(p.turn), p.y - out * math.cos(p.turn), p.turn, p.ground, { posts[i] })
  end
end

return pattern
