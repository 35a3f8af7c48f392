//! One thread that does jobs in the order in which they came.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;
use std::time::Instant;

use super::queue::locked;

/// Why a job has no end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Died {
    /// It panicked half-way.
    HalfWay,
    /// The system gave no thread to do it on.
    NoThread,
}

/// A job, and who is told if it comes to a bad end.
struct Job {
    work: Box<dyn FnOnce() + Send>,
    died: Box<dyn FnOnce(Died) + Send>,
}

impl Job {
    fn done(self) {
        // What a job was about to change is its own: its answer is given whole or not at all.
        if catch_unwind(AssertUnwindSafe(self.work)).is_err() {
            // Nor does the thread end because there is no telling it.
            let _ = catch_unwind(AssertUnwindSafe(|| (self.died)(Died::HalfWay)));
        }
    }
}

/// A queue of jobs with a thread behind it, which is started when it is needed
/// and again if it ended.
pub struct Worker {
    name: String,
    line: Mutex<Option<Line>>,
}

/// The way to the thread.
struct Line {
    jobs: Sender<Job>,
    /// Hangs up when the thread has ended.
    ended: Receiver<()>,
}

impl Worker {
    /// A worker; its name is for whoever looks at the threads.
    pub fn new(name: &str) -> Self {
        Self { name: name.to_owned(), line: Mutex::new(None) }
    }

    /// Queues a job, which is never done on the thread that asks for it. `died`
    /// is told if the job comes to a bad end; then it gave no answer.
    pub fn run(&self, work: impl FnOnce() + Send + 'static, died: impl FnOnce(Died) + Send + 'static) {
        let mut line = locked(&self.line);
        let mut job = Job { work: Box::new(work), died: Box::new(died) };
        // At the first line there may hang a thread that has ended.
        for _ in 0..2 {
            if line.is_none() {
                *line = self.start();
            }
            let Some(open) = &*line else { break };
            match open.jobs.send(job) {
                Ok(()) => return,
                Err(mpsc::SendError(back)) => job = back,
            }
            *line = None;
        }
        drop(line);
        (job.died)(Died::NoThread);
    }

    fn start(&self) -> Option<Line> {
        let (jobs, queue) = mpsc::channel::<Job>();
        let (alive, ended) = mpsc::channel();
        let thread = thread::Builder::new().name(self.name.clone()).spawn(move || {
            let _alive: Sender<()> = alive;
            for job in queue {
                job.done();
            }
        });
        thread.is_ok().then_some(Line { jobs, ended })
    }

    /// Takes no more jobs, and waits until those that were queued are done, but
    /// no longer than this: a drive that doesn't answer may not keep the program
    /// from ending.
    pub fn finish(&self, until: Instant) {
        if let Some(Line { jobs, ended }) = locked(&self.line).take() {
            drop(jobs);
            let _ = ended.recv_timeout(until.saturating_duration_since(Instant::now()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;
    use std::time::Duration;

    fn soon() -> Instant {
        Instant::now() + Duration::from_secs(60)
    }

    /// A job's bad end, without words on the error output.
    fn die() {
        std::panic::resume_unwind(Box::new("on purpose"));
    }

    #[test]
    fn jobs_are_done_in_order_and_before_the_end() {
        let done = Arc::new(Mutex::new(Vec::new()));
        let worker = Worker::new("test");
        for i in 0..100 {
            let done = Arc::clone(&done);
            worker.run(move || done.lock().unwrap().push(i), |_| {});
        }
        worker.finish(soon());
        assert_eq!(*done.lock().unwrap(), (0..100).collect::<Vec<_>>());
    }

    #[test]
    fn a_job_that_panics_is_told_of_and_the_next_is_done_on_the_same_thread() {
        let (tell, told) = mpsc::channel();
        let worker = Worker::new("test");
        let report = |tell: &Sender<String>, what: String| tell.send(what).unwrap();
        for job in 0..3 {
            let (work, died) = (tell.clone(), tell.clone());
            worker.run(
                move || {
                    if job == 1 {
                        die();
                    }
                    report(&work, format!("{job} on {:?}", thread::current().name()));
                },
                move |why| {
                    report(&died, format!("{job} {why:?}"));
                    // Even who is told of a bad end may come to one.
                    die();
                },
            );
        }
        worker.finish(soon());
        let told: Vec<String> = told.try_iter().collect();
        assert_eq!(told, ["0 on Some(\"test\")", "1 HalfWay", "2 on Some(\"test\")"]);
    }

    #[test]
    fn where_the_thread_ended_another_does_the_next_job() {
        let worker = Worker::new("test");
        let (jobs, ended) = (mpsc::channel().0, mpsc::channel().1);
        *worker.line.lock().unwrap() = Some(Line { jobs, ended });
        let (tell, told) = mpsc::channel();
        worker.run(move || tell.send(thread::current().name().map(str::to_owned)).unwrap(), |_| {});
        worker.finish(soon());
        assert_eq!(told.try_iter().collect::<Vec<_>>(), [Some("test".to_owned())]);
    }

    #[test]
    fn who_has_been_waited_for_long_enough_is_left_behind() {
        let worker = Worker::new("test");
        let (go, wait) = mpsc::channel::<()>();
        worker.run(
            move || {
                let _ = wait.recv();
            },
            |_| {},
        );
        worker.finish(Instant::now());
        drop(go);
    }
}
