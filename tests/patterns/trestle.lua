-- SPDX-License-Identifier: Apache-2.0
-- A table's frame clear of the ground: four posts on metal shoes, rails between their heads and a knee brace in every
-- corner, for what stands on pins is held by its braces alone. Its zero is the ground at the left front post's corner.
local pattern = {
  name = "trestle",
  title = "Trestle on shoes",
  help = "Four posts on metal shoes, rails between them, and braces.",
  choices = {
    { name = "span", unit = "length", least = 900, most = 3000, default = 1600, help = "clear between the posts, both ways" },
    { name = "height", unit = "length", least = 800, most = 2500, default = 2000, help = "of the posts" },
    { name = "clear", unit = "length", least = 0, most = 400, default = 60, help = "from the ground to the posts' feet" },
    { name = "taper", unit = "length", least = 0, most = 300, default = 0, help = "how far the feet are tapered" },
    { name = "post", unit = "section", role = "post", help = "posts" },
    { name = "rail", unit = "section", role = "frame", help = "rails and braces" },
  },
}

function pattern.build(c)
  local far = c.post.width + c.span
  local function post(where, x, y, out)
    local one = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "right",
      length = c.height, at = { x = x, y = y, z = c.clear } }
    post_on_shoe(one, { diameter = 300, depth = 500, gravel = 100 })
    if c.taper > 0 then taper(one, { ends = "start", face = out, along = c.taper, off = 20 }) end
    return one
  end
  local left = { front = post("left front", 0, 0, "left"), back = post("left back", 0, far, "left") }
  local right = { front = post("right front", far, 0, "right"), back = post("right back", far, far, "right") }
  local inset = (c.post.width - c.rail.thickness) / 2
  -- A rail between two heads, and a brace under it at either end.
  local function side(where, from, to, runs, backwards)
    local at = { z = from.top - c.rail.width }
    if runs == "right" then at.y = from.front + inset else at.x = from.left + inset end
    local rail = butt { name = "rail", where = where, role = "beam", duty = "beam", section = c.rail, between = { from, to },
      runs = runs, wide = "up", at = at }
    for _, one in ipairs({ { from, runs, "first" }, { to, backwards, "last" } }) do
      connect { bodies = { one[1], rail }, kinds = { "angle bracket" }, load = 800 }
      local knee = brace { name = "brace", where = where .. " " .. one[3], section = c.rail, foot = one[1], foot_face = one[2],
        head_level = rail.bottom, leg = 400, low_across = runs == "right" and rail.front or rail.left }
      meet(knee, rail)
      for _, other in ipairs({ one[1], rail }) do
        connect { bodies = { knee, other }, kinds = { "structural screw", "screw" }, count = 2, least = 6, load = 1500 }
      end
    end
  end
  side("front", left.front, right.front, "right", "left")
  side("back", left.back, right.back, "right", "left")
  side("left", left.front, left.back, "back", "front")
  side("right", right.front, right.back, "back", "front")
end

return pattern
