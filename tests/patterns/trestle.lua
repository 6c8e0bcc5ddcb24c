-- SPDX-License-Identifier: Apache-2.0
-- Two posts clear of the ground on metal shoes, their heads tapered, a beam on them and braces under it: what stands on
-- pins, for tests. Its zero is the ground at the left post's outer face.
local pattern = {
  name = "trestle",
  title = "Trestle on shoes",
  help = "Two posts on metal shoes, a beam on them, and braces.",
  choices = {
    { name = "span", unit = "length", least = 600, most = 3000, default = 1600, help = "clear between the posts" },
    { name = "height", unit = "length", least = 800, most = 2500, default = 2000, help = "of the posts" },
    { name = "clear", unit = "length", least = 0, most = 400, default = 60, help = "from the ground to the posts' feet" },
    { name = "taper", unit = "length", least = 0, most = 300, default = 0, help = "how far the feet are tapered" },
    { name = "post", unit = "section", role = "post", help = "posts" },
    { name = "beam", unit = "section", role = "frame", help = "beam and braces" },
  },
}

function pattern.build(c)
  local function post(where, x, out)
    local one = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "right",
      length = c.height, at = { x = x, y = 0, z = c.clear } }
    post_on_shoe(one, { diameter = 300, depth = 500, gravel = 100 })
    if c.taper > 0 then taper(one, { ends = "start", face = out, along = c.taper, off = 20 }) end
    return one
  end
  local left, right = post("left", 0, "left"), post("right", c.post.width + c.span, "right")
  local beam = place { name = "beam", role = "beam", duty = "beam", section = c.beam, runs = "right", wide = "up",
    length = right.right, at = { x = 0, y = left.back, z = left.top - c.beam.width } }
  for _, side in ipairs({ { left, "right" }, { right, "left" } }) do
    meet(beam, side[1])
    connect { bodies = { beam, side[1] }, kinds = { "bolt", "coach screw" }, count = 2, least = 8, load = 1500 }
  end
  for _, side in ipairs({ { left, "right", "left" }, { right, "left", "right" } }) do
    local b = brace { name = "brace", where = side[3], section = c.beam, foot = side[1], foot_face = side[2],
      head_level = beam.bottom, leg = 400, low_across = left.back }
    meet(b, beam)
    fix { through = { b, beam }, count = 2 }
    fix { through = { b, side[1] }, count = 2 }
  end
end

return pattern
