"""Background tasks: claimed by one worker, told, cancelled, put back, taken over, given up."""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.db import DatabaseError, IntegrityError, connections, transaction
from django.urls import reverse
from django.utils import timezone

from shop.background import held, in_process, services
from shop.background.held import HeldTask, TaskTaken
from shop.background.runner import work_off, work_on
from shop.background.services import (
    MOST_ATTEMPTS,
    UnknownKind,
    a_worker_is_about,
    look_now_and_then,
    see_to_it,
    task_cancel,
    task_claim,
    task_start,
    worker_left,
    worker_seen,
)
from shop.extensions.background import Chore, TaskKind, Work
from shop.extensions.points import CHORES, TASK_KINDS, TASK_WORKER
from shop.models import BackgroundTask, TaskState, TaskWorker, User
from tests.tasks import run_tasks

pytestmark = pytest.mark.django_db


class Counting:
    """A kind of task in ten steps, which says what was begun and kept."""

    def __init__(self, **stops: Any) -> None:
        self.begun: list[int] = []
        self.kept: dict[int, int] = {}
        self.stops = stops

    def __call__(self, work: Work) -> None:
        self.begun.append(work.subject)
        for step in range(self.kept.get(work.subject, 0), 10):
            if step == self.stops.get("at"):
                do, self.stops = self.stops["do"], {}
                do()
            if not work.tell(step / 10):
                return
            with work.keeping((step + 1) / 10):
                self.kept[work.subject] = step + 1


@pytest.fixture
def counting(swap_plugs: Any) -> Counting:
    kind = Counting()
    swap_plugs(TASK_KINDS, TaskKind("count", kind))
    return kind


def started(by: User, subject: int = 7) -> BackgroundTask:
    return task_start(kind="count", subject=subject, page="/orders/", by=by)


def state_of(task: BackgroundTask) -> str:
    task.refresh_from_db()
    return str(task.state)


def test_a_task_is_worked_off_to_its_end(counting: Counting, writer: User) -> None:
    task = started(writer)
    assert (task.state, task.done_share, task.is_over) == (TaskState.WAITING, 0.0, False)
    assert run_tasks() == 1
    assert state_of(task) == TaskState.DONE
    assert task.is_over
    assert task.done_share == 1.0
    assert task.ended_at is not None
    assert counting.kept == {7: 10}
    assert run_tasks() == 0


def test_tasks_come_in_their_order_and_each_has_one_worker(
    counting: Counting, writer: User
) -> None:
    first, second = started(writer, 1), started(writer, 2)
    assert task_claim(worker="a") == first
    assert task_claim(worker="b") == second
    assert task_claim(worker="c") is None


def test_a_kind_that_nothing_does_is_refused(counting: Counting, writer: User) -> None:
    with pytest.raises(UnknownKind):
        task_start(kind="none such", subject=1, page="/", by=writer)
    task = started(writer)
    BackgroundTask.objects.update(kind="gone with a release")
    run_tasks()
    assert state_of(task) == TaskState.FAILED
    assert "gone with a release" in task.trouble


def test_what_a_dead_worker_had_begun_is_taken_over_where_it_was_kept(
    counting: Counting, writer: User
) -> None:
    task = started(writer)
    claimed = task_claim(worker="dead")
    assert claimed is not None
    dead = HeldTask(claimed, "dead")
    with dead.keeping(0.4):
        counting.kept[7] = 4
    assert run_tasks() == 0
    BackgroundTask.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    task.refresh_from_db()
    assert task.is_lost(timezone.now())
    assert run_tasks("alive") == 1
    assert counting.kept == {7: 10}
    assert state_of(task) == TaskState.DONE


def test_a_worker_that_was_taken_for_dead_keeps_nothing(counting: Counting, writer: User) -> None:
    task = started(writer)
    claimed = task_claim(worker="slow")
    assert claimed is not None
    slow = HeldTask(claimed, "slow")
    BackgroundTask.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    assert task_claim(worker="next") == task
    with pytest.raises(TaskTaken), slow.keeping(0.5):
        counting.kept[7] = 99
    assert counting.kept == {}
    assert not slow.tell(0.6)
    slow.end(TaskState.DONE)
    assert state_of(task) == TaskState.RUNNING
    assert task.worker == "next"


def test_a_task_that_never_gets_further_is_given_up(
    swap_plugs: Any, writer: User, caplog: Any
) -> None:
    """Every worker that begins it dies."""
    swap_plugs(TASK_KINDS, TaskKind("count", Counting()))
    task = started(writer)
    for _ in range(MOST_ATTEMPTS):
        assert task_claim(worker="dies") is not None
        BackgroundTask.objects.update(lease_until=timezone.now() - timedelta(seconds=1))
    run_tasks()
    assert state_of(task) == TaskState.FAILED
    assert str(MOST_ATTEMPTS) in task.trouble


def test_a_fault_fails_the_task_and_is_told(swap_plugs: Any, writer: User, caplog: Any) -> None:
    def broken(work: Work) -> None:
        raise ZeroDivisionError("of all things")

    swap_plugs(TASK_KINDS, TaskKind("count", broken))
    task = started(writer)
    run_tasks()
    assert state_of(task) == TaskState.FAILED
    assert task.trouble == "ZeroDivisionError: of all things"
    assert "of all things" in caplog.text


def test_cancelling_what_waits_ends_it_at_once(counting: Counting, writer: User) -> None:
    task = started(writer)
    task_cancel(task=task)
    assert task.state == TaskState.CANCELLED
    assert run_tasks() == 0
    assert counting.begun == []


def test_cancelling_what_runs_stops_it_and_keeps_what_was_done(
    swap_plugs: Any, writer: User, monkeypatch: Any
) -> None:
    monkeypatch.setattr(held, "WRITTEN_EVERY", 0.0)
    kind = Counting(at=5, do=lambda: task_cancel(task=BackgroundTask.objects.get()))
    swap_plugs(TASK_KINDS, TaskKind("count", kind))
    task = started(writer)
    run_tasks()
    assert state_of(task) == TaskState.CANCELLED
    assert kind.kept == {7: 5}
    assert task.done_share == pytest.approx(0.5)


def test_a_worker_that_has_to_end_puts_its_task_back(swap_plugs: Any, writer: User) -> None:
    asked: list[int] = []
    kind = Counting(at=3, do=lambda: asked.append(15))
    swap_plugs(TASK_KINDS, TaskKind("count", kind))
    task = started(writer)
    work_off(lambda: bool(asked))
    assert state_of(task) == TaskState.WAITING
    assert kind.kept == {7: 3}
    assert TaskWorker.objects.count() == 0
    run_tasks()
    assert state_of(task) == TaskState.DONE
    assert kind.begun == [7, 7]


def test_progress_is_written_down_now_and_then_and_renews_the_lease(
    counting: Counting, writer: User, monkeypatch: Any, django_assert_num_queries: Any
) -> None:
    task = started(writer)
    claimed = task_claim(worker="w")
    assert claimed is not None
    mine = HeldTask(claimed, "w")
    with django_assert_num_queries(0):
        assert mine.tell(0.1)
    BackgroundTask.objects.update(lease_until=timezone.now() + timedelta(seconds=2))
    monkeypatch.setattr(held, "WRITTEN_EVERY", 0.0)
    assert mine.tell(0.25)
    task.refresh_from_db()
    assert task.done_share == 0.25
    assert task.lease_until > timezone.now() + timedelta(seconds=30)
    assert mine.tell(0.2)
    task.refresh_from_db()
    assert task.percent == 25, "progress never goes back"


def test_the_database_knows_states_and_shares(counting: Counting, writer: User) -> None:
    task = started(writer)
    for wrong in ({"state": "lost"}, {"done_share": 1.5}):
        with pytest.raises(IntegrityError), transaction.atomic():
            BackgroundTask.objects.filter(pk=task.pk).update(**wrong)


def test_where_no_worker_is_about_this_process_begins(
    counting: Counting, writer: User, settings: Any, swap_plugs: Any
) -> None:
    begun: list[bool] = []
    swap_plugs(TASK_WORKER, lambda: begun.append(True))
    see_to_it()
    assert begun == [], "there is nothing to do"
    started(writer)
    see_to_it()
    assert begun == [], "the settings of tests say no"
    settings.TASKS_IN_PROCESS = True
    see_to_it()
    assert begun == [True]
    worker_seen(worker="w")
    see_to_it()
    assert begun == [True]
    TaskWorker.objects.update(seen_at=timezone.now() - timedelta(minutes=1))
    assert not a_worker_is_about(timezone.now())
    worker_left(worker="w")
    task_claim(worker="other")
    assert a_worker_is_about(timezone.now()), "it is in the middle of a task"


def test_the_command_works_off_what_waits(counting: Counting, writer: User) -> None:
    task = started(writer)
    call_command("worker", idle=0.0)
    assert state_of(task) == TaskState.DONE


def test_a_task_is_cancelled_from_its_page(
    counting: Counting, writer: User, client_of: Any
) -> None:
    task = started(writer)
    answer = client_of(writer).post(reverse("task_cancel", args=[task.pk]))
    assert answer.url == task.page
    assert state_of(task) == TaskState.CANCELLED


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_two_workers_never_do_one_task_twice(counting: Counting, writer: User) -> None:
    tasks = [started(writer, subject) for subject in range(6)]

    def work() -> None:
        work_off(lambda: False, idle_seconds=0.0)
        connections.close_all()

    threads = [threading.Thread(target=work) for _ in range(2)]
    for one in threads:
        one.start()
    for one in threads:
        one.join(60)
    assert sorted(counting.begun) == list(range(6))
    assert all(state_of(task) == TaskState.DONE for task in tasks)


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_without_a_worker_a_task_is_worked_off_in_this_process(
    counting: Counting, writer: User, settings: Any, monkeypatch: Any
) -> None:
    settings.TASKS_IN_PROCESS = True
    monkeypatch.setattr(in_process, "IDLE_SECONDS", 0.0)
    task = started(writer)
    (thread,) = [one for one in threading.enumerate() if one.name == in_process.NAME]
    thread.join(60)
    assert state_of(task) == TaskState.DONE
    assert counting.kept == {7: 10}


def test_work_on_a_deleted_row_is_no_trouble(counting: Counting, writer: User) -> None:
    task = started(writer)
    claimed = task_claim(worker="w")
    assert claimed is not None
    task.delete()
    work_on(claimed, "w")
    assert counting.kept == {}


def test_a_page_now_and_then_begins_what_fell_due(
    settings: Any, swap_plugs: Any, monkeypatch: pytest.MonkeyPatch, caplog: Any
) -> None:
    begun, due = [], [True]
    swap_plugs(TASK_WORKER, lambda: begun.append(1))
    swap_plugs(CHORES, Chore("a chore", lambda: due[0], lambda is_ending: due.clear()))
    monkeypatch.setattr(services, "_looked_at", float("-inf"))
    look_now_and_then()
    assert begun == [], "the settings leave it to a worker"
    settings.TASKS_IN_PROCESS = True
    look_now_and_then()
    look_now_and_then()
    assert begun == [1], "not on every page"

    def broken() -> bool:
        raise DatabaseError("no table")

    swap_plugs(CHORES, Chore("a chore", broken, lambda is_ending: None))
    monkeypatch.setattr(services, "_looked_at", float("-inf"))
    look_now_and_then()
    assert "no table" in caplog.text


def test_a_worker_does_its_chores_and_a_broken_one_stops_no_other(swap_plugs: Any) -> None:
    done, due = [], {"a": True, "b": True}

    def do(is_ending: Any) -> None:
        due["b"] = False
        done.append("b")

    def broken(is_ending: Any) -> None:
        due["a"] = False
        raise ValueError("broken")

    swap_plugs(
        CHORES,
        Chore("broken", lambda: due["a"], broken),
        Chore("whole", lambda: due["b"], do),
    )
    work_off(lambda: False, idle_seconds=0.0)
    assert done == ["b"]
