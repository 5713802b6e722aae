/* A document small enough to be cut at every byte and full enough to hold every kind of member. */
#ifndef TEST_JOB_FIXTURE_H
#define TEST_JOB_FIXTURE_H

#include "board/edits-group.h"

static const char fixture[] =
  "{\n"
  "  \"leeward_format\": 1,\n"
  "  \"title\": \"Bench \\u00e9 \\\"one\\\"\",\n"
  "  \"x_job\": {\"deep\": [1, 2.5, null, {\"a\": true}]},\n"
  "  \"alloy\": \"Sn63Pb37\",\n"
  "  \"ambient_c\": 23.5,\n"
  "  \"board\": {\n"
  "    \"thickness_mm\": 1.6,\n"
  "    \"x_board\": \"kept\",\n"
  "    \"outline\": [\n"
  "      {\"corners\": [{\"x_mm\": 0, \"y_mm\": 0, \"x_corner\": 7}, {\"x_mm\": 100, \"y_mm\": 0}, {\"x_mm\": 100, \"y_mm\": 60},\n"
  "        {\"x_mm\": 0, \"y_mm\": 60}], \"x_loop\": \"edge\"},\n"
  "      {\"corners\": [{\"x_mm\": 90, \"y_mm\": 50, \"arc_deg\": 180}, {\"x_mm\": 80, \"y_mm\": 50, \"arc_deg\": 180}]}\n"
  "    ],\n"
  "    \"stack_up\": [\n"
  "      {\"name\": \"L1\", \"kind\": \"copper\", \"copper_weight_oz\": 1, \"cover\": 0.4, \"x_layer\": []},\n"
  "      {\"name\": \"core\", \"kind\": \"laminate\", \"thickness_mm\": 1.53},\n"
  "      {\"name\": \"L2\", \"kind\": \"copper\", \"thickness_mm\": 0.035, \"cover\": 0.9}\n"
  "    ],\n"
  "    \"copper_regions\": [{\"layer\": \"L2\", \"cover\": 0.1, \"loop\": {\"corners\": [{\"x_mm\": 1, \"y_mm\": 1},\n"
  "      {\"x_mm\": 9, \"y_mm\": 1}, {\"x_mm\": 9, \"y_mm\": 9}]}}],\n"
  "    \"via_fields\": [{\"pitch_mm\": 1.2, \"drill_mm\": 0.3, \"plating_um\": 25, \"loop\": {\"corners\":\n"
  "      [{\"x_mm\": 20, \"y_mm\": 20}, {\"x_mm\": 30, \"y_mm\": 20}, {\"x_mm\": 30, \"y_mm\": 30}]}}],\n"
  "    \"prescribed\": {\"k_in_plane_w_per_mk\": 20, \"x_prescribed\": 1},\n"
  "    \"past\": {\"baked\": \"no\", \"x_was\": 1}\n"
  "  },\n"
  "  \"packages\": [\n"
  "    {\"name\": \"A16\", \"kind\": \"area-array\", \"length_mm\": 10, \"width_mm\": 10, \"height_mm\": 1.4,\n"
  "     \"joints\": {\"pattern\": \"grid\", \"columns\": 4, \"rows\": 4, \"hole_columns\": 2, \"hole_rows\": 2,\n"
  "       \"pitch_mm\": 2, \"length_mm\": 0.6, \"width_mm\": 0.6, \"standoff_mm\": 0.4, \"x_joints\": 0},\n"
  "     \"body\": [{\"name\": \"mould\", \"thickness_mm\": 1, \"k_in_plane_w_per_mk\": 0.7, \"k_through_w_per_mk\": 0.7,\n"
  "       \"heat_capacity_j_per_m3k\": 1.7e6, \"x_body\": 3}],\n"
  "     \"limits\": [{\"kind\": \"body-peak-c\", \"value\": 245, \"source\": \"sheet\", \"x_limit\": 1},\n"
  "       {\"kind\": \"body-time-above-s\", \"value\": 30, \"at_c\": 240}]},\n"
  "    {\"name\": \"TWO\", \"length_mm\": 2, \"width_mm\": 1.25, \"joints\": {\"pattern\": \"listed\", \"positions\":\n"
  "      [{\"x_mm\": -0.9, \"y_mm\": 0, \"x_point\": 1}, {\"x_mm\": 0.9, \"y_mm\": 0}]}}\n"
  "  ],\n"
  "  \"parts\": [\n"
  "    {\"ref\": \"U1\", \"package\": \"A16\", \"x_mm\": 40, \"y_mm\": 30, \"rotation_deg\": 90, \"side\": \"top\", \"x_part\": 0.1,\n"
  "     \"past\": {\"level\": \"3\", \"opened\": \"2026-03-01T09:30\", \"x_past\": 1}, \"spare\": {\"kept\": \"dry-pack\"},\n"
  "     \"cycles_allowed\": 3, \"kept_after\": true},\n"
  "    {\"ref\": \"C1\", \"package\": \"TWO\", \"x_mm\": 60.1, \"y_mm\": 30, \"side\": \"bottom\", \"height_mm\": 0.85,\n"
  "     \"limits\": [{\"kind\": \"ramp-up-c-per-s\", \"value\": 2}], \"prescribed\": {\"joint_h_w_per_m2k\": 30000}}\n"
  "  ],\n"
  "  \"station\": {\n"
  "    \"name\": \"bench\", \"x_station\": 1,\n"
  "    \"nozzles\": [{\"name\": \"N12\", \"length_mm\": 12, \"width_mm\": 12, \"x_nozzle\": 2}],\n"
  "    \"gas_min_c\": 50, \"gas_max_c\": 450, \"flow_min_l_per_min\": 5, \"flow_max_l_per_min\": 60,\n"
  "    \"preheater\": {\"kind\": \"infrared\", \"max_c\": 400, \"x_pre\": 1},\n"
  "    \"holder\": {\"x_holder\": 5},\n"
  "    \"prescribed_films\": {\"given\": false, \"nozzle_w_per_m2k\": 80}\n"
  "  },\n"
  "  \"plans\": [\n"
  "    {\"ref\": \"U1\", \"operation\": \"remove\", \"nozzle\": \"N12\", \"nozzle_height_mm\": 3, \"x_plan\": 1,\n"
  "     \"preheat_area\": {\"x_mm\": 40, \"y_mm\": 30, \"length_mm\": 80, \"width_mm\": 50, \"x_area\": 1},\n"
  "     \"stages\": [{\"name\": \"warm\", \"duration_s\": 120, \"gas_c\": null, \"preheat_c\": 150, \"x_stage\": 1},\n"
  "       {\"name\": \"heat\", \"duration_s\": 90, \"gas_c\": 300, \"flow_l_per_min\": 20, \"preheat_c\": 150, \"shape\": \"ramp\"}],\n"
  "     \"shields\": [{\"name\": \"S1\", \"share\": 0.2, \"loop\": {\"corners\": [{\"x_mm\": 55, \"y_mm\": 25}, {\"x_mm\": 65, \"y_mm\": 25},\n"
  "       {\"x_mm\": 65, \"y_mm\": 35}]}, \"x_shield\": 1}],\n"
  "     \"thermocouples\": [{\"name\": \"T1\", \"ref\": \"C1\", \"x_mm\": 60, \"y_mm\": 30, \"side\": \"bottom\", \"x_tc\": 1}],\n"
  "     \"wanted\": {\"joint_min_c\": 200, \"x_wanted\": 1}},\n"
  "    {\"ref\": \"C1\", \"nozzle\": \"\", \"stages\": [], \"table\": [{\"t_s\": 0, \"preheat_c\": 25, \"x_knot\": 1}, {\"t_s\": 60,\n"
  "      \"gas_c\": 240, \"preheat_c\": 150}]}\n"
  "  ],\n"
  "  \"active_plan\": 1,\n"
  "  \"runs\": [{\"name\": \"first\", \"ref\": \"U1\", \"plan_hash\": \"ab\", \"date\": \"2026-03-01T10:00:00Z\", \"file\": \"a.csv\",\n"
  "    \"operator\": \"H. B.\", \"lot\": \"7\", \"notes\": \"n\", \"shift_s\": -3.5, \"t_s\": [0, 0.5, 1], \"x_run\": 1, \"columns\":\n"
  "    [{\"name\": \"Ch 1\", \"thermocouple\": \"T1\", \"c\": [25.01, null, 26], \"x_column\": 2}]}],\n"
  "  \"fits\": [{\"name\": \"fit\", \"ref\": \"U1\", \"apart_before_k\": 7, \"runs\": [{\"run\": \"first\", \"x_used\": 1}],\n"
  "    \"figures\": [{\"key\": \"film\", \"unit\": \"%\", \"before\": 1, \"value\": 1.2, \"sigma\": null, \"x_figure\": 1},\n"
  "      {\"key\": \"gas\", \"value\": 2}], \"ties\": [-0.125], \"nozzle\": \"N12\", \"kept\": true}],\n"
  "  \"revisions\": [{\"hash\": \"ab\", \"date\": \"2026-03-01T09:00:00Z\", \"note\": \"sheet\", \"x_revision\": 1,\n"
  "    \"plan\": {\"ref\": \"U1\", \"nozzle\": \"N12\", \"stages\": [{\"duration_s\": 10, \"x_old\": 1}]}}],\n"
  "  \"schedule\": {\"start\": \"2026-03-02\", \"bake_c\": 90, \"x_when\": 1}\n"
  "}\n";

static inline LwJob *
without_part (const LwJob *job, guint part, GError **error)
{
  g_autoptr (GArray) one = g_array_new (FALSE, FALSE, sizeof (guint));

  g_array_append_val (one, part);
  return lw_edit_remove_parts (job, one, error);
}

#endif
