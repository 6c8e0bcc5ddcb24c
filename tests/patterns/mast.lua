-- SPDX-License-Identifier: Apache-2.0
-- A single post in the ground, or on a shoe that holds it upright, with nothing on it: what it stands to is between the
-- wind, the timber and the hole or shoe alone.
local pattern = {
  name = "mast",
  title = "Single post",
  help = "A post in the ground.",
  choices = {
    { name = "height", unit = "length", least = 500, most = 4000, default = 2500, help = "above the ground" },
    { name = "in_ground", unit = "length", least = 200, most = 1500, default = 500, help = "in the ground" },
    { name = "post", unit = "section", role = "post", help = "the post" },
    { name = "clear", unit = "length", least = 0, most = 150, default = 0, help = "on a shoe, so far clear of the ground; 0: in it" },
  },
}

function pattern.build(c)
  if c.clear > 0 then
    local post = place { name = "post", where = "only", role = "post", duty = "climber", group = "post", section = c.post, runs = "up",
      wide = "right", length = c.height - c.clear, at = { x = 0, y = 0, z = c.clear } }
    post_on_shoe(post, { diameter = 500, depth = 900, gravel = 0, upright = true })
    return
  end
  local post = place { name = "post", where = "only", role = "post", duty = "climber", group = "post", section = c.post, runs = "up",
    wide = "right", length = c.height + c.in_ground, at = { x = 0, y = 0, z = -1 * c.in_ground } }
  post_in_ground(post, { diameter = 300, depth = c.in_ground, gravel = 0 })
end

return pattern
