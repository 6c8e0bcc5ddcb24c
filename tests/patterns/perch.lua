-- SPDX-License-Identifier: Apache-2.0
-- A rail before two posts, to lean on. Its pattern asks hardly anything of its one kind of joint, so that what the joint
-- takes first is too weak.
local pattern = {
  name = "perch",
  title = "Rail to lean on",
  help = "A rail before two posts.",
  choices = {
    { name = "height", unit = "length", least = 400, most = 2000, default = 900, group = "Size", help = "of the posts" },
    { name = "in_ground", unit = "length", least = 200, most = 1500, default = 1000, group = "Ground",
      help = "of the posts" },
    { name = "hole", unit = "length", least = 150, most = 900, default = 450, group = "Ground", help = "width of the holes" },
    { name = "post", unit = "section", role = "post", group = "Timber", help = "posts" },
    { name = "rail", unit = "section", role = "beam", group = "Timber", help = "the rail" },
  },
}

function pattern.build(c)
  local posts = {}
  for i, x in pairs({ 0, 1200 }) do
    local post = place { name = "post", where = "number " .. i, role = "post", section = c.post, runs = "up",
      wide = "back", length = c.height + c.in_ground, at = { x = x, y = 0, z = -1 * c.in_ground } }
    post_in_ground(post, { diameter = c.hole, depth = c.in_ground, gravel = 0 })
    table.insert(posts, post)
  end
  local rail = place { name = "rail", role = "rail", duty = "guard", section = c.rail, runs = "right", wide = "up",
    length = 1500, at = { x = -100, y = -1 * c.rail.thickness, z = c.height - 200 } }
  for _, post in pairs(posts) do
    meet(rail, post)
    connect { bodies = { rail, post }, kinds = { "screw", "structural screw", "coach screw" }, load = 1, most = 2 }
  end
end

return pattern
