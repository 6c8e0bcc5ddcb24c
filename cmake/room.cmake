# A room is a folder under src/: its *.cc files make the library gw_<name>, its *_test.cc files one test program.
#
#   garthwright_room(shed USES base LINKS SQLite::SQLite3)
#
# USES names other rooms (on lower floors), LINKS names outside libraries, TEST_LINKS what only the tests need.
#
# HEAVY names sources that need large libraries, HEAVY_LINKS, which take long to load: they make gw_<name>_heavy, linked
# to whatever links the room but for a target with the property GARTHWRIGHT_ON_DEMAND, which says for itself how their
# functions are reached (src/cli/on_demand).
#
# Sources are compiled some in one go, as most of a compiler's time goes into what they include: a whole build takes half
# the time. APART names those that use a name within themselves that another of the room uses too (ALL: each by itself).
set(GARTHWRIGHT_IN_ONE_GO 6)
if(GARTHWRIGHT_TESTS)
  add_custom_target(unit_tests)
  add_library(gw_source_dir STATIC ${CMAKE_SOURCE_DIR}/src/base/source_dir_for_tests.cc)
  target_include_directories(gw_source_dir PRIVATE ${CMAKE_SOURCE_DIR}/src)
  target_compile_definitions(gw_source_dir PRIVATE GARTHWRIGHT_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
endif()

# A test's object is the same with sanitizers and without (CMakeLists.txt): where GARTHWRIGHT_TESTS_FROM names a build tree
# that has compiled them, they are linked from there and not compiled again. That tree's tests must be built before.
function(compiled_already variable name apart)
  set(objects ${${variable}})
  if(GARTHWRIGHT_JOINED AND NOT apart STREQUAL ALL)
    set(joined ${objects})
    list(REMOVE_ITEM joined ${apart})
    list(REMOVE_ITEM objects ${joined})
    list(LENGTH joined count)
    math(EXPR last "(${count} - 1) / ${GARTHWRIGHT_IN_ONE_GO}")
    foreach(i RANGE ${last})
      list(APPEND objects ${CMAKE_CURRENT_SOURCE_DIR}/Unity/unity_${i}_cxx.cxx)
    endforeach()
  endif()
  set(${variable} ${objects})
  list(TRANSFORM ${variable} REPLACE "^${CMAKE_CURRENT_SOURCE_DIR}/(.*)$"
       "${GARTHWRIGHT_TESTS_FROM}/src/${name}/CMakeFiles/${name}_test.dir/\\1.o")
  set_source_files_properties(${${variable}} PROPERTIES EXTERNAL_OBJECT ON GENERATED ON)
  set(${variable} ${${variable}} PARENT_SCOPE)
endfunction()

function(join_sources target apart)
  if(GARTHWRIGHT_JOINED AND NOT apart STREQUAL ALL)
    set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE ${GARTHWRIGHT_IN_ONE_GO})
  endif()
endfunction()

function(garthwright_room name)
  cmake_parse_arguments(ROOM "" "" "USES;LINKS;SYSTEM_INCLUDES;TEST_LINKS;HEAVY;HEAVY_LINKS;APART" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.cc)
  set(tests ${sources})
  list(FILTER sources EXCLUDE REGEX "(_test|_for_tests|/main)\\.cc$")
  list(FILTER tests INCLUDE REGEX "_test\\.cc$")

  set(apart ${ROOM_APART})
  if(NOT apart STREQUAL ALL)
    list(TRANSFORM apart PREPEND ${CMAKE_CURRENT_SOURCE_DIR}/)
    set_source_files_properties(${apart} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
  endif()

  list(TRANSFORM ROOM_HEAVY PREPEND ${CMAKE_CURRENT_SOURCE_DIR}/ OUTPUT_VARIABLE heavy)
  if(heavy)
    list(REMOVE_ITEM sources ${heavy})
  endif()

  list(TRANSFORM ROOM_USES PREPEND gw_ OUTPUT_VARIABLE used_rooms)
  set(scope PUBLIC)
  if(sources)
    add_library(gw_${name} STATIC ${sources})
    target_compile_options(gw_${name} PRIVATE ${GARTHWRIGHT_WATCHED})
    join_sources(gw_${name} "${apart}")
  else()  # headers only
    set(scope INTERFACE)
    add_library(gw_${name} INTERFACE)
  endif()
  target_include_directories(gw_${name} ${scope} $<BUILD_INTERFACE:${CMAKE_SOURCE_DIR}/src>)
  target_include_directories(gw_${name} SYSTEM ${scope} ${ROOM_SYSTEM_INCLUDES})
  target_link_libraries(gw_${name} ${scope} ${used_rooms} ${ROOM_LINKS})
  if(heavy)
    add_library(gw_${name}_heavy STATIC ${heavy})
    set_target_properties(gw_${name}_heavy PROPERTIES POSITION_INDEPENDENT_CODE ON)  # it may become a shared library
    target_compile_options(gw_${name}_heavy PRIVATE ${GARTHWRIGHT_WATCHED})
    join_sources(gw_${name}_heavy "${apart}")
    target_link_libraries(gw_${name}_heavy PUBLIC gw_${name} ${ROOM_HEAVY_LINKS})
    set(outside ${ROOM_HEAVY_LINKS})
    list(FILTER outside EXCLUDE REGEX "^gw_")
    set_property(GLOBAL APPEND PROPERTY GARTHWRIGHT_HEAVY_LINKS ${outside})
    target_link_libraries(gw_${name} INTERFACE $<$<NOT:$<BOOL:$<TARGET_PROPERTY:GARTHWRIGHT_ON_DEMAND>>>:gw_${name}_heavy>)
  endif()

  if(GARTHWRIGHT_TESTS AND tests)
    if(GARTHWRIGHT_TESTS_FROM)
      compiled_already(tests ${name} "${apart}")
    endif()
    add_executable(${name}_test ${tests})
    if(NOT GARTHWRIGHT_TESTS_FROM)
      join_sources(${name}_test "${apart}")
    endif()
    set_target_properties(${name}_test PROPERTIES LINKER_LANGUAGE CXX)
    target_link_libraries(${name}_test PRIVATE gw_${name} gw_source_dir ${ROOM_TEST_LINKS} GTest::gmock GTest::gtest_main)
    # Test code runs once for each time it is compiled: what counts is how soon it is there.
    target_compile_options(${name}_test PRIVATE -O1)
    # One run for the whole program: starting it (it loads the solid kernel) takes longer than most of its tests.
    add_test(NAME ${name} COMMAND ${name}_test)
    set_tests_properties(${name} PROPERTIES TIMEOUT 600)
    add_dependencies(unit_tests ${name}_test)
  endif()
endfunction()
