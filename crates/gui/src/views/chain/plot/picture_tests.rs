use egui::{Context, Id, LayerId, Order, vec2};
use egui_plot::PlotBounds;
use rigwright_core::cascade::LineCache;
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{Project, State};
use rigwright_core::states::{Question, Target, explore};

use super::*;

fn answers(project: &Project) -> Vec<(Arc<Response>, Arc<AllStates>)> {
    let mut cache = LineCache::new(Sweep::audio());
    let one = |variant: &Arc<rigwright_core::rig::Variant>| {
        let response = respond(&Request::of(project, variant), &mut cache);
        let target = Target::Endpoint(response.endpoints[0].jack);
        let question =
            Question { rig: Arc::clone(&variant.rig), controls: State::default(), target, unfed: Default::default() };
        (Arc::new(response), Arc::new(explore(&question, &mut cache)))
    };
    project.variants.iter().map(one).collect()
}

fn shown<'a>(project: &'a Project, answers: &'a [(Arc<Response>, Arc<AllStates>)]) -> Vec<Shown<'a>> {
    let one = |(index, (response, all)): (usize, &'a (Arc<Response>, Arc<AllStates>))| Shown {
        name: &project.variants[index].name,
        ink: Color32::WHITE,
        style: super::super::style::style(index),
        response,
        answer: &response.endpoints[0].at,
        all: Some(all),
        old: false,
        curve_old: false,
        in_hand: index == 0,
    };
    answers.iter().enumerate().map(one).collect()
}

fn transform(size: egui::Vec2) -> PlotTransform {
    let bounds = PlotBounds::from_min_max([1.3, -30.0], [4.3, 15.0]);
    PlotTransform::new(Rect::from_min_size(pos2(40.0, 60.0), size), bounds, false)
}

#[test]
fn it_is_made_anew_only_when_something_changed() {
    let project = file::demo().unwrap();
    let answers = answers(&project);
    let context = Context::default();
    let painter = context.layer_painter(LayerId::new(Order::Middle, Id::unique("test")));
    let mut picture = Picture::default();
    let place = transform(vec2(600.0, 300.0));
    let mut draw = |axis: VerticalAxis<'_>, shown: &[Shown<'_>], transform: &PlotTransform, base| {
        let setting = PictureInputs { transform, base, endpoint: 0 };
        let bands = picture.draw(&painter, axis, shown, &setting).len();
        (picture.made, bands)
    };
    let both = shown(&project, &answers);
    assert_eq!(draw(VerticalAxis::Level, &both, &place, None), (1, 2));
    assert_eq!(draw(VerticalAxis::Level, &shown(&project, &answers), &place, None), (1, 2), "the same again");
    let mut other = shown(&project, &answers);
    other[0].ink = Color32::BLACK;
    assert_eq!(draw(VerticalAxis::Level, &other, &place, None), (2, 2), "another look");
    let wider = transform(vec2(700.0, 300.0));
    assert_eq!(draw(VerticalAxis::Level, &both, &wider, None), (3, 2), "another place");
    assert_eq!(draw(VerticalAxis::Level, &both[..1], &wider, None), (4, 1), "one hidden");
    let base = &answers[1].0;
    let axis = VerticalAxis::Difference { base: Some(&base.endpoints[0].at), name: "b" };
    assert_eq!(draw(axis, &both, &wider, Some(Some(base))), (5, 2), "differences");
    assert_eq!(draw(axis, &both, &wider, Some(Some(base))), (5, 2));
    let again = Arc::new((**base).clone());
    assert_eq!(draw(axis, &both, &wider, Some(Some(&again))), (6, 2), "another answer");
}

#[test]
fn a_band_holds_the_curve_of_its_own_state() {
    let project = file::demo().unwrap();
    let answers = answers(&project);
    let place = transform(vec2(600.0, 300.0));
    for one in shown(&project, &answers) {
        let band = slices(&VerticalAxis::Level.strip(one.states().unwrap()), &place);
        let curve = points(VerticalAxis::Level, one.answer, &place).concat();
        assert_eq!(band.len(), curve.len());
        for (slice, point) in band.iter().zip(&curve) {
            assert_eq!(slice.x, point.x);
            // Far below the plot both are cut.
            let y = point.y.min(place.frame().bottom() + FAR);
            assert!(slice.top - 0.01 <= y && y <= slice.bottom + 0.01, "{slice:?} {point}");
        }
    }
}
