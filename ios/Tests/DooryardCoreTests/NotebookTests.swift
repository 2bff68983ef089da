import DooryardCore
import Foundation
import Testing

@Suite struct NotebookTests {
    let folder: Folder
    let notebook: FieldNotebook
    let secrets = MemorySecrets()

    init() throws {
        folder = try Folder()
        let desk = try Desk(office: folder.path("office"))
        notebook = try desk.newPhone(in: folder.path("phone"), label: "Scout 8", secrets: secrets)
    }

    @Test func savesAnInquiryWithAFindingAndAPhotoAndFindsItAgainAfterReopening() throws {
        guard case .enrolled(_, let role, let label, _) = try notebook.enrolment() else {
            Issue.record("not enrolled")
            return
        }
        #expect(role == .scout && label == "Scout 8")
        let saved = try FieldWork(in: notebook, by: "Scout 8")
        try notebook.pause()
        notebook.shutdown()
        #expect(thrown { _ = try notebook.list(request: ListRequest()) } == .ShutDown)

        let again = try FieldNotebook.open(path: folder.path("phone"), secrets: secrets)
        let inquiry = try again.show(id: saved.inquiry)
        #expect(inquiry.kind == .inquiry)
        #expect(inquiry.text("question") == "¿Por qué tiene manchas la hoja? 🍁")
        #expect(inquiry.fields.first?.shown.author.label == "Scout 8")

        let finding = try again.show(id: saved.finding)
        #expect(["character", "state", "status", "comfort"].map(finding.text) == ["leaf_spot", "round", "seen", "2"])
        #expect(finding.fields.first { $0.name == "photos" }?.shown.json == "[\"\(saved.photo)\"]")
        #expect(finding.text("photos") == nil, "a list has no text")

        let photo = try again.show(id: saved.photo)
        #expect(photo.text("mime") == "image/jpeg")
        #expect(photo.text("taken")?.hasPrefix("2026-06-14T10:42:00") == true)
        #expect(photo.text("image")?.hasPrefix("1e") == true)

        #expect(try again.way(id: saved.inquiry) == .onThisPhone)
        #expect(try again.history(id: saved.inquiry).count == 1)
        #expect(try again.conflicts().isEmpty)
    }

    @Test func listsAndSearchesAndHidesWhatWasDeleted() throws {
        let saved = try FieldWork(in: notebook, by: "Scout 8")
        let other = try notebook.save(
            kind: .inquiry, id: nil, fieldsJson: #"{"channel": "phone", "summary": "Curled beans"}"#)

        let inquiries = try notebook.list(request: ListRequest(kind: .inquiry))
        #expect(inquiries.total == 2)
        #expect(Set(inquiries.rows.map(\.id)) == [saved.inquiry, other])
        #expect(inquiries.rows.first { $0.id == other }?.text("summary") == "Curled beans")

        let byPhone = ListRequest(equals: [FieldEquals(field: "channel", json: "\"phone\"")])
        #expect(try notebook.list(request: byPhone).rows.map(\.id) == [other])
        #expect(try notebook.search(words: "manchas hoj").rows.map(\.id) == [saved.inquiry])
        #expect(try notebook.list(request: ListRequest(limit: 1)).rows.count == 1)

        try notebook.delete(id: other)
        #expect(try notebook.list(request: ListRequest(kind: .inquiry)).total == 1)
        #expect(try notebook.show(id: other).hidden)
        try notebook.restore(id: other)
        #expect(try !notebook.show(id: other).hidden)
    }

    @Test func namesEveryFieldThatCannotBeSaved() throws {
        let error = thrown {
            _ = try notebook.save(
                kind: .inquiry, id: nil, fieldsJson: #"{"chanel": "yard", "channel": "pigeon", "status": "closed"}"#)
        }
        guard case .Invalid(let problems)? = error else {
            Issue.record("\(String(describing: error))")
            return
        }
        let expected: Set = [
            FieldProblem(field: "chanel", code: .unknownField),
            FieldProblem(field: "channel", code: .unknownWord),
            FieldProblem(field: "status", code: .notYours),
        ]
        #expect(Set(problems) == expected)
        let noJson = thrown { _ = try notebook.save(kind: .inquiry, id: nil, fieldsJson: "channel: yard") }
        #expect(noJson == .Invalid(problems: [FieldProblem(field: "fields_json", code: .badForm)]))
        #expect(try notebook.list(request: ListRequest()).total == 0, "nothing of it was saved")
    }

    @Test func saysWhatIsNotThere() throws {
        guard case .NotFound? = thrown(by: { _ = try notebook.show(id: "0197f0c0-0000-7000-8000-000000000000") }) else {
            Issue.record("an unknown id was shown")
            return
        }
        let bad = thrown { _ = try notebook.show(id: "../../etc/passwd") }
        #expect(bad == .Invalid(problems: [FieldProblem(field: "id", code: .badForm)]))
        let nowhere = thrown { _ = try FieldNotebook.open(path: folder.path("nowhere"), secrets: secrets) }
        guard case .NotFound? = nowhere else {
            Issue.record("a notebook was opened where none is")
            return
        }
        try Data("not a picture".utf8).write(to: folder.url.appendingPathComponent("note.jpg"))
        let noPhoto = thrown { _ = try notebook.addPhoto(path: folder.path("note.jpg"), fieldsJson: "{}") }
        guard case .Refused(let code, _, _)? = noPhoto else {
            Issue.record("\(String(describing: noPhoto))")
            return
        }
        #expect(code == "OTHER_FORMAT")
        #expect(try notebook.list(request: ListRequest()).total == 0)
    }

    @Test func keepsEverythingAndHandsNothingOverBeforeAnOfficeKnowsIt() throws {
        let fresh = try FieldNotebook.create(path: folder.path("fresh"), secrets: secrets)
        #expect(try fresh.enrolment() == .notInvited)
        let saved = try fresh.save(kind: .inquiry, id: nil, fieldsJson: "{\"channel\": \"yard\"}")
        #expect(try fresh.show(id: saved).id == saved)
        guard
            case .NotEnrolled(let sentence)? = thrown(by: {
                _ = try fresh.makeBundle(outPath: folder.path("x.yard"))
            })
        else {
            Issue.record("made a bundle for nobody")
            return
        }
        #expect(sentence.en.contains("belongs to no office"))
        guard case .Refused? = thrown(by: { try fresh.enrol(answer: Data("no answer".utf8)) }) else {
            Issue.record("took what is no answer")
            return
        }
    }
}
