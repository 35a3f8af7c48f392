//! One thread that does jobs in the order in which they came.

use std::sync::Mutex;
use std::sync::mpsc::{self, Receiver, Sender};
use std::thread;
use std::time::Duration;

use super::queue::locked;

type Job = Box<dyn FnOnce() + Send>;

/// How long the program's end waits for jobs that were begun.
const PATIENCE: Duration = Duration::from_secs(5);

/// A queue of jobs with a thread behind it. Dropping it waits for what was queued.
pub struct Worker {
    jobs: Option<Sender<Job>>,
    /// Hangs up when the thread has ended. The lock only makes it shareable.
    ended: Mutex<Receiver<()>>,
}

impl Worker {
    /// A worker; its name is for whoever looks at the threads.
    pub fn new(name: &str) -> Self {
        let (jobs, queue) = mpsc::channel::<Job>();
        let (alive, ended) = mpsc::channel();
        let thread = thread::Builder::new().name(name.to_owned()).spawn(move || {
            let _alive: Sender<()> = alive;
            for job in queue {
                job();
            }
        });
        Self { jobs: thread.is_ok().then_some(jobs), ended: Mutex::new(ended) }
    }

    /// Queues a job. Where there is no thread to be had it is done at once:
    /// late is better than never.
    pub fn run(&self, job: impl FnOnce() + Send + 'static) {
        let job: Job = Box::new(job);
        match &self.jobs {
            Some(jobs) => {
                if let Err(mpsc::SendError(job)) = jobs.send(job) {
                    job();
                }
            }
            None => job(),
        }
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.jobs = None;
        // A drive that doesn't answer may not keep the program from ending.
        let _ = locked(&self.ended).recv_timeout(PATIENCE);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;

    #[test]
    fn jobs_are_done_in_order_and_before_the_end() {
        let done = Arc::new(Mutex::new(Vec::new()));
        let worker = Worker::new("test");
        for i in 0..100 {
            let done = Arc::clone(&done);
            worker.run(move || done.lock().unwrap().push(i));
        }
        drop(worker);
        assert_eq!(*done.lock().unwrap(), (0..100).collect::<Vec<_>>());
    }
}
