//! The campaign: the headless half, where line, plan and readings meet.
//!
//! `physics` knows quantities, `stats` knows numbers, the window knows people; only this module knows all three. It
//! never names the window's toolkit. Two narrow doors: everything physical passes [`resolve`], everything statistical
//! passes `analysis`.

pub mod analysis;
pub mod analysis_table;
pub mod answer_figures;
pub mod answers;
pub mod card;
pub mod card_fields;
pub mod card_file;
pub mod check_word;
pub mod clock;
pub mod command;
pub mod data_map;
pub mod decimals;
pub mod documents;
pub mod extrapolation;
pub mod factors;
pub mod feasibility;
pub mod fitting;
pub mod head_switch;
pub mod html;
pub mod journal;
pub mod json_file;
pub mod leave_out;
pub mod limit_words;
mod line_cards;
pub mod machine_page;
pub mod machine_span;
pub mod paste_preview;
pub mod plan_options;
pub mod plan_worth;
pub mod planning;
pub mod presets;
pub mod project;
pub mod project_file;
pub mod proposals;
pub mod pull;
pub mod quality_id;
pub mod reading_entry;
pub mod reading_table;
pub mod reading_text;
pub mod report;
pub mod resolve;
pub mod role;
pub mod roll;
pub mod roll_figure;
pub mod run_order;
pub mod run_sheet;
pub mod samples;
pub mod sentence_case;
pub mod session;
pub mod setting_unit;
pub mod table_cell;
pub mod table_import;
pub mod table_problem;
pub mod table_records;
pub mod table_text;
pub mod telling_first;
pub mod unit;
pub mod validity;
pub mod verdict_words;
pub mod what_follows;
pub mod window_axes;
pub mod window_map;
