//! The thing designed: projects of variants, each a rig of devices and leads.

mod capacity;
mod circles;
mod circuit;
mod device;
mod edit;
mod edit_error;
mod edit_ids;
mod edit_power;
mod edit_rig;
mod edit_sounds;
mod effect;
mod effects_loop;
mod fed;
mod feed;
mod fields;
mod fields_pickups;
mod fuzz;
mod id;
mod jack;
mod join;
mod lead;
mod limits;
mod loop_contact;
mod mains;
mod missing;
mod mixer;
mod multi_effects;
mod names;
mod note;
mod numbered_sounds;
mod own_part;
mod pickup_wiring;
mod power;
mod problems;
mod problems_pickups;
mod problems_power;
mod problems_switches;
mod project;
mod selector;
mod signal;
mod sound;
mod sound_loops;
pub mod standing;
mod state;
mod stereo;
mod switch;
mod switcher;
mod unit;

pub use capacity::{LONGEST_NAME, Many, Named, fitting_name, new_long_name, too_many};
pub use circuit::{ActiveSource, Guitar, Instrument, Pickup, PickupPlace, Pot, Taper, Tone, ToneOrder, TrebleBleed};
pub use device::{Body, Device, HEARD_TO, Kind, SPEAKER_TO, SizeClass};
pub use edit::{Edit, apply};
pub use edit_error::EditError;
pub use edit_ids::{placeholder, resolved_id, unresolved_id};
pub use edit_power::PowerEdit;
pub use edit_sounds::SoundEdit;
pub use effect::Effect;
pub use effects_loop::{EffectsLoop, LineLevel};
pub use fed::{Feeding, NEEDS_POWER, WithoutPower, unfed_carriers, unfed_devices};
pub use feed::{Adapter, Feed, FeedFrom, OutletRef, Tap};
pub use fields::{Field, fields, power_fields, set_field};
pub use id::{DeviceId, FeedId, IDS_END, Id, LeadId, NoteId, SoundId, VariantId};
pub use jack::{Jack, JackRef};
pub use join::{CantJoin, may_join};
pub use lead::{Cable, Lead};
pub use limits::{LimitField, Limits};
pub use loop_contact::LoopContact;
pub use mains::{Country, MainsSupply, Venue};
pub use missing::{Missing, missing, missing_words, out_of_reach_words};
pub use mixer::{Mixer, MixerInput, NO_LATENCY, Polarity};
pub use multi_effects::{MultiEffects, Patch};
pub use names::{
    NO_SWITCH, device_name, free_name, free_names, jack_name, left_out_words, moved_words, name_of, place_name,
    place_names, step_words, switch_name, switch_words, test_point_name, unmoved_word,
};
pub use note::{Note, NoteEdit};
pub use numbered_sounds::numbered_sounds;
pub use own_part::{OWN_KEY_JOINT, OwnPart, own_key_of};
pub use pickup_wiring::{
    JoinedPickup, MOST_PICKUPS, MOST_PUSH_PULLS, OtherPickup, OwnControls, OwnVolumes, PickupWiring, PushPull,
    SelectorPosition,
};
pub use power::{
    Apart, Battery, Connector, Form, GroupLimit, Mains, Need, Outlet, Power, Setting, Supply, Way, ZeroVolt,
};
pub use problems::{Problem, problems, signal_problems};
pub use problems_pickups::PickupFault;
pub use problems_power::power_problems;
pub use problems_switches::{forget_position, switch_problems};
pub use project::{CanvasPoint, KeptOrder, Project, Rig, RowWidth, TestPoint, UNTITLED, Variant};
pub use selector::Selector;
pub use sound::{Realised, Sound};
pub use sound_loops::OutOfReach;
pub use state::{Control, Knob, State};
pub use stereo::{Alone, Side, Stereo};
pub use switch::{Action, Position, Switch, SwitchHabit, SwitchKey, SwitchRef, SwitchSetting, WorkedBy};
pub use switcher::{MOST_LOOPS, Preset, Switcher};
pub use unit::{
    Amp, Buffer, Bypass, Channel, Desk, DirectBox, GridStage, Input, InputFor, Interface, LevelPot, Pedal, Splitter,
    Stage, ToDesk, Transformer, Treadle, Tuner, Wireless,
};
