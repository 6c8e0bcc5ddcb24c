# GARTHWRIGHT_VERSION from git, as Debian would order it: "1.2.0" where the commit is tagged v1.2.0, "1.2.0+g0123abc" of
# the version in CMakeLists.txt at any other, that version alone where there is no git. GARTHWRIGHT_DATE and _DAY: of the commit.
set(GARTHWRIGHT_VERSION ${PROJECT_VERSION})
set(GARTHWRIGHT_DATE "Thu, 01 Jan 1970 00:00:00 +0000")
set(GARTHWRIGHT_DAY "1970-01-01")
find_program(GIT git)
if(GIT AND EXISTS ${CMAKE_SOURCE_DIR}/.git)
  execute_process(COMMAND ${GIT} describe --tags --exact-match --match "v[0-9]*" WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}
                  OUTPUT_VARIABLE tag ERROR_QUIET OUTPUT_STRIP_TRAILING_WHITESPACE)
  execute_process(COMMAND ${GIT} log -1 --format=%h%n%as%n%aD WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}
                  OUTPUT_VARIABLE said ERROR_QUIET OUTPUT_STRIP_TRAILING_WHITESPACE)
  if(tag MATCHES "^v([0-9]+\\.[0-9]+\\.[0-9]+)$")
    set(GARTHWRIGHT_VERSION ${CMAKE_MATCH_1})
  elseif(said MATCHES "^([0-9a-f]+)\n")
    set(GARTHWRIGHT_VERSION ${PROJECT_VERSION}+g${CMAKE_MATCH_1})
  endif()
  if(said MATCHES "\n([-0-9]+)\n(.+)$")
    set(GARTHWRIGHT_DAY ${CMAKE_MATCH_1})
    set(GARTHWRIGHT_DATE "${CMAKE_MATCH_2}")
  endif()
endif()
