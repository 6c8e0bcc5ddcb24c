-- SPDX-License-Identifier: Apache-2.0
-- A row of posts in the ground with nothing on them, cheap to reckon: what stands is between wind, timber and holes. It
-- refuses some of what it is asked, and between two heights it can do without its stakes, so that a search is tried.
local pattern = {
  name = "masts",
  title = "Row of posts",
  help = "Posts in the ground, each by itself.",
  choices = {
    { name = "masts", unit = "count", least = 1, most = 5, default = 2, group = "Size", help = "how many posts" },
    { name = "height", unit = "length", least = 500, most = 4000, default = 2000, group = "Size",
      help = "above the ground" },
    { name = "in_ground", unit = "length", least = 200, most = 1500, default = 500, group = "Ground",
      help = "in the ground" },
    { name = "hole", unit = "length", least = 100, most = 600, default = 300, group = "Ground", help = "width of the holes" },
    { name = "post", unit = "section", role = "post", group = "Timber", help = "the posts" },
    { name = "stakes", unit = "yes-no", default = false, group = "Timber", help = "a short stake beside each" },
    { name = "quirk", unit = "yes-no", default = false, group = "Timber", help = "no stakes at heights about 1.8 m" },
  },
}

function pattern.build(c)
  if c.hole < c.post.width + 100 then
    refuse("hole", "the hole leaves less than 50 mm around the post", "dig wider")
  end
  if c.in_ground * 5 < c.height then refuse("in_ground", "less than a fifth stands in the ground", "dig deeper") end
  local bare = c.quirk and c.height > 1700 and c.height < 1900
  for i = 1, c.masts do
    local x = 1500 * i
    local post = place { name = "post", where = "number " .. i, role = "post", group = "mast " .. i, section = c.post,
      runs = "up", wide = "right", length = c.height + c.in_ground, at = { x = x, y = 0, z = -1 * c.in_ground } }
    post_in_ground(post, { diameter = c.hole, depth = c.in_ground, gravel = 0 })
    if c.stakes and not bare then
      local stake = place { name = "stake", where = "number " .. i, role = "post", group = "stake " .. i, section = "4x4",
        runs = "up", wide = "right", length = 900, at = { x = x, y = 600, z = -500 } }
      post_in_ground(stake, { diameter = 300, depth = 500, gravel = 0 })
    end
  end
end

return pattern
