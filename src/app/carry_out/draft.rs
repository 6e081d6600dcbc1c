//! Has a schedule drafted, and puts it on the bench when it is there.

use std::sync::Arc;

use eframe::egui;

use crate::app::state::drafting::Order;
use crate::app::state::notice::Notice;
use crate::app::state::waking;
use crate::app::window::App;

impl App {
    /// The numbers of the document on the bench, and of the state of it.
    fn bench_now(&self) -> (u64, u64) {
        (self.bench.documents(), self.bench.document().generation())
    }

    /// Has a schedule drafted for the bench as it stands.
    pub(in crate::app) fn draft(&mut self, ctx: &egui::Context, order: Order) {
        let library = Arc::clone(self.bench.library());
        let of = self.bench_now();
        let asked = self.drafting.ask(&waking::by(ctx), of, order, library);
        self.shell.notice = Some(match asked {
            Ok(()) => Notice::passing("A schedule is being drafted: it is run until its day repeats itself."),
            Err(why) => Notice::refusal(why),
        });
    }

    /// Puts what was drafted on the bench, with what its settled day comes to in words.
    pub(in crate::app) fn follow_draft(&mut self) {
        let Some(drafted) = self.drafting.take() else { return };
        let order = drafted.order;
        self.shell.notice = Some(match drafted.draft {
            Err(why) => Notice::refusal(why),
            Ok(_) if drafted.of != self.bench_now() => {
                Notice::refusal("The bench changed while a schedule was drafted for it: it is as you left it. Draft again.")
            }
            Ok(draft) => {
                let mut after = order.after;
                after.set_events(order.plan, draft.events);
                after.clear_rules(order.plan);
                self.bench.apply(order.name, after);
                let told = format!("{} {}", order.told, draft.told);
                if draft.meets_all { Notice::passing(told) } else { Notice::lasting(told) }
            }
        });
    }
}
